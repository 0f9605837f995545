package round

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

const (
	// mostWeeks is how long a round can be.
	mostWeeks = 4
	// nextDay is the day of the next round on which what is left over is taken to be done
	// then. Assumption: its middle.
	nextDay = 3
	// againShare is what of the road to a place that is left out counts as road that it
	// will take another time: a place is gone to every other month, so that a week later
	// saves an eighth of it. Assumption.
	againShare = 0.875
)

// Check reports what keeps a round over some places from being planned, whatever their
// forecasts say: a number of weeks, or two points that no way connects.
func (s *Settings) Check(places []string, weeks int) error {
	if weeks < 1 || weeks > mostWeeks {
		return &record.FieldError{Field: "weeks", Want: "1 to 4"}
	}
	_, err := s.table(places)
	return err
}

// build makes the request of a round from the outlooks of its places.
func (s *Settings) build(outlooks []day.Outlook, first record.Date, weeks int) (*Request, error) {
	if weeks < 1 || weeks > mostWeeks {
		return nil, &record.FieldError{Field: "weeks", Want: "1 to 4"}
	}
	r := &Request{Stop: s.Stop}
	if r.Stop == 0 {
		r.Stop = UsualStop
	}
	days := s.Days
	if len(days) == 0 {
		days = UsualDays()
	}
	for d := first; d < first+record.Date(7*weeks); d++ {
		for _, span := range on(days, weekday(d)) {
			r.Days = append(r.Days, Day{On: d, From: span.From, To: span.To})
		}
	}
	ids := make([]string, len(outlooks))
	for i, o := range outlooks {
		ids[i] = o.Place
	}
	table, err := s.table(ids)
	if err != nil {
		return nil, err
	}
	last := first + record.Date(7*weeks) - 1
	for i := range outlooks {
		for _, visit := range outlooks[i].Booked {
			if s.mine(visit) && visit.On >= first && visit.On <= last {
				r.fix(&outlooks[i], i, visit, table[0][i+1], table[i+1][0])
			}
		}
	}
	next := last + 1 + nextDay
	for i := range outlooks {
		if !slices.ContainsFunc(r.Places, func(p Place) bool { return p.of == i }) {
			p := s.place(&outlooks[i], r.Days, next)
			p.of = i
			r.Places = append(r.Places, p)
		}
	}
	slices.SortStableFunc(r.Places, func(a, b Place) int { return cmp.Compare(a.of, b.of) })
	r.layOut(table)
	for i := range r.Places {
		if r.Places[i].Fixed == nil {
			r.Places[i].Again = r.again(i, &outlooks[r.Places[i].of], next)
		}
	}
	return r, nil
}

// mine reports whether a booked visit is for the person of the round. Where nobody is
// named it is.
func (s *Settings) mine(v day.BookedInfo) bool {
	who, by := strings.TrimSpace(s.Who), strings.TrimSpace(v.By)
	return !v.Missed && (who == "" || by == "" || strings.EqualFold(who, by))
}

// fix puts a booked visit into the round, on a day that is as long as it takes for it.
func (r *Request) fix(o *day.Outlook, of int, visit day.BookedInfo, there, back float64) {
	at, err := time.Parse("15:04", visit.At)
	if err != nil {
		return // cannot be: it was checked when it was written down
	}
	start := float64(at.Hour()*60 + at.Minute())
	from, to := start-there, start+max(visit.Minutes, r.Stop)+back
	k := slices.IndexFunc(r.Days, func(d Day) bool {
		return d.On == visit.On && (start >= d.From && start <= d.To || !slices.ContainsFunc(r.Days, func(other Day) bool {
			return other.On == visit.On && start >= other.From && start <= other.To
		}))
	})
	if k < 0 {
		k = slices.IndexFunc(r.Days, func(d Day) bool { return d.On > visit.On })
		if k < 0 {
			k = len(r.Days)
		}
		r.Days = slices.Insert(r.Days, k, Day{On: visit.On, From: from, To: to, Only: true})
		for i := range r.Places {
			if f := r.Places[i].Fixed; f.Day >= k {
				f.Day++
			}
		}
	}
	r.Days[k].From, r.Days[k].To = min(r.Days[k].From, from), max(r.Days[k].To, to)
	p := Place{ID: o.Place, Fixed: &Fixed{Day: k, Start: start, Minutes: visit.Minutes, Visit: visit}, of: of}
	ids := visit.Tasks()
	var tasks []plan.Task
	for i := range o.Jobs {
		if slices.Contains(ids, o.Jobs[i].ID) {
			p.Jobs, tasks = append(p.Jobs, Job{Task: o.Jobs[i].ID}), append(tasks, o.Jobs[i].Task)
		}
	}
	p.Lay = layOf(tasks, o.Machines)
	r.Places = append(r.Places, p)
}

// layOut makes the table of travel between the stops of the round from that between the
// places, and prices what booked visits do.
func (r *Request) layOut(table [][]float64) {
	at := []int{0}
	for i := range r.Places {
		p := &r.Places[i]
		at = append(at, p.of+1)
		for j := range p.Jobs {
			if p.Fixed != nil {
				p.Jobs[j].Cost = make([]float64, len(r.Days)) // it is done whatever it costs
			}
		}
	}
	r.Travel = make([][]float64, len(at))
	for i, a := range at {
		r.Travel[i] = make([]float64, len(at))
		for j, b := range at {
			r.Travel[i][j] = table[a][b]
		}
	}
}

// place makes the request's place of an outlook.
func (s *Settings) place(o *day.Outlook, days []Day, next record.Date) Place {
	p := Place{ID: o.Place}
	hours := s.Places[o.Place]
	for _, d := range days {
		open := []Span{{d.From, d.To}}
		if len(hours.Open) > 0 {
			open = on(hours.Open, weekday(d.On))
		}
		p.Open = append(p.Open, open)
		if len(hours.Quiet) > 0 {
			p.Quiet = append(p.Quiet, on(hours.Quiet, weekday(d.On)))
		}
	}
	prices := plan.UsualPrices()
	var tasks []plan.Task
	for i := range o.Jobs {
		job := &o.Jobs[i]
		if job.Who == care.Licensed && !s.Licensed || job.On != 0 || job.Booked != 0 {
			continue
		}
		pricer := plan.NewPricer(&job.Task, &prices, o.Today)
		j := Job{Task: job.ID, Left: pricer.On(max(o.Today, next)).Whole()}
		for _, d := range days {
			cost := math.Inf(1)
			if d.On >= o.Today && d.On > job.After {
				cost = pricer.On(d.On).Whole()
			}
			j.Cost = append(j.Cost, cost)
		}
		p.Jobs, tasks = append(p.Jobs, j), append(tasks, job.Task)
	}
	p.Lay = layOf(tasks, o.Machines)
	return p
}

// layOf returns what doing some of a place's tasks takes, by their places in the list.
func layOf(tasks []plan.Task, machines map[string]plan.Machine) func([]int) Work {
	layer := plan.NewLayer(tasks, machines)
	known := map[string]Work{}
	return func(set []int) Work {
		key := make([]byte, 0, 2*len(set))
		for _, j := range set {
			key = append(key, byte(j), byte(j>>8))
		}
		w, ok := known[string(key)]
		if !ok {
			w = workOf(layer.Lay(uncovered(tasks, set), math.Inf(1)))
			known[string(key)] = w
		}
		return w
	}
}

// uncovered leaves out of a set of tasks those that another of it counts for.
func uncovered(tasks []plan.Task, set []int) []int {
	return slices.DeleteFunc(slices.Clone(set), func(j int) bool {
		return slices.ContainsFunc(set, func(k int) bool { return k != j && slices.Contains(tasks[k].Covers, tasks[j].ID) })
	})
}

// workOf returns what a timetable takes, and while a machine is cold in it: from its
// switching off, which may lie before the work, until it is hot again.
func workOf(t plan.Timetable) Work {
	w := Work{Minutes: t.Elapsed()}
	cold := false
	for _, s := range t {
		switch s.What {
		case plan.SwitchOff:
			if !cold || s.From < w.ColdFrom {
				w.ColdFrom = s.From
			}
			cold = true
			w.ColdTo = max(w.ColdTo, w.Minutes)
		case plan.Heating:
			w.ColdTo = max(w.ColdTo, s.From+s.Minutes)
		}
	}
	if !cold {
		w.ColdFrom, w.ColdTo = 0, 0
	}
	return w
}

// again is what leaving a place out costs on the road another time: the shortest way
// round by it, if it has work by then.
func (r *Request) again(place int, o *day.Outlook, next record.Date) float64 {
	needed := slices.ContainsFunc(o.Jobs, func(j day.Job) bool {
		due := j.Due[plan.LikelyQuantile]
		return due != 0 && due <= next+28
	})
	if !needed {
		return 0
	}
	return r.detour(place)
}

// detour is what the shortest way round by a place costs another time.
func (r *Request) detour(place int) float64 {
	p := place + 1
	detour := r.Travel[0][p] + r.Travel[p][0]
	for i := range r.Travel {
		for j := range r.Travel {
			if i != p && j != p && i != j {
				detour = min(detour, r.Travel[i][p]+r.Travel[p][j]-r.Travel[i][j])
			}
		}
	}
	return againShare * (max(0, detour) + r.Stop)
}

// NextMonday returns a day where it is a Monday, else the one that comes: weeks of a round
// begin with it.
func NextMonday(d record.Date) record.Date {
	for d.Weekday() != time.Monday {
		d++
	}
	return d
}
