package round

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Round is a round as doors show it.
type Round struct {
	Who     string        `json:"who,omitempty"`
	From    string        `json:"from"`
	First   record.Date   `json:"first"`
	Last    record.Date   `json:"last"`
	Days    []DayInfo     `json:"days"` // those with visits
	Left    []LeftOut     `json:"left"` // places that are not visited, by what that costs
	Road    float64       `json:"minutes_on_the_road"`
	Work    float64       `json:"minutes_at_places"`
	Cost    float64       `json:"cost"`
	Late    float64       `json:"harm_and_waste"`
	Load    Load          `json:"load"`
	Missed  []MissedVisit `json:"missed"`            // visits that were booked for a day that has passed
	Waiting []string      `json:"waiting,omitempty"` // places that were not worked out yet
	Tried   string        `json:"tried"`             // how it was found
}

// DayInfo is a day of a round.
type DayInfo struct {
	On     record.Date `json:"on"`
	Leave  string      `json:"leave"` // setting out at the latest, hh:mm
	Back   string      `json:"back"`
	Road   float64     `json:"minutes_on_the_road"`
	Visits []VisitInfo `json:"visits"`
}

// VisitInfo is a visit of a round.
type VisitInfo struct {
	On      record.Date `json:"on"`
	Place   string      `json:"place"`
	Name    string      `json:"name"`
	Road    float64     `json:"minutes_on_the_road"` // before it
	Arrive  string      `json:"arrive"`              // hh:mm
	Work    string      `json:"work_begins"`
	Leave   string      `json:"leave"`
	Minutes float64     `json:"minutes"` // of work
	Begins  time.Time   `json:"begins"`  // of the work, on the place's clock
	Off     string      `json:"machine_off_by,omitempty"`
	Booked  int64       `json:"booked,omitempty"`             // record that booked it; 0 where it is only proposed
	Unsaid  bool        `json:"quiet_hours_unsaid,omitempty"` // a machine gets cold, and nobody said when it may
	Jobs    []JobInfo   `json:"tasks"`
	Parts   []string    `json:"parts"`
	Tools   []string    `json:"tools"`

	there float64 // minutes
}

// Tasks lists the ids of what is done.
func (v VisitInfo) Tasks() []string {
	ids := make([]string, len(v.Jobs))
	for i, j := range v.Jobs {
		ids[i] = j.Task
	}
	return ids
}

// Booking returns the visit as it is booked: so long from arriving to leaving, in whole
// minutes. Who comes is for whoever books it to say.
func (v VisitInfo) Booking() record.BookedVisit {
	b := record.BookedVisit{On: v.On, At: v.Arrive, Minutes: math.Round(v.there)}
	for _, task := range v.Tasks() {
		b.Tasks = append(b.Tasks, record.BookedTask{Task: task})
	}
	return b
}

// JobInfo is a task of a visit.
type JobInfo struct {
	Task    string  `json:"task"`
	Title   string  `json:"title"`
	Name    string  `json:"equipment_name"`
	Minutes float64 `json:"minutes"`
	Risk    float64 `json:"risk"`             // probability that its limit is passed by then
	Counted string  `json:"counts,omitempty"` // title of the task that counts for it
}

// MissedVisit is a visit that was booked for a day that has passed, and was not done.
type MissedVisit struct {
	Place string         `json:"place"`
	Name  string         `json:"name"`
	Visit day.BookedInfo `json:"visit"`
}

// LeftOut is a place that is not visited.
type LeftOut struct {
	Place string  `json:"place"`
	Name  string  `json:"name"`
	Harm  float64 `json:"costs"` // of what is left there until the next round, in minutes
	Says  string  `json:"says"`

	Booked int64 `json:"booked,omitempty"` // record of a booked visit that cannot be kept
}

// Plan plans a round of some weeks from a day on. Van is what is in the van.
func (s *Settings) Plan(ctx context.Context, outlooks []day.Outlook, first record.Date, weeks int, van Van) (Round, error) {
	r, err := s.build(outlooks, first, weeks)
	if err != nil {
		return Round{}, err
	}
	p, err := Make(ctx, r)
	if err != nil {
		return Round{}, err
	}
	out := Round{
		Who: s.Who, From: s.From, First: first, Last: first + record.Date(7*weeks) - 1,
		Days: []DayInfo{}, Left: []LeftOut{}, Road: p.Road, Cost: cents(p.Cost), Late: cents(p.Late),
		Tried: "It was improved by moving and exchanging visits until nothing helped.",
	}
	if p.Proven {
		out.Tried = "All ways to lay the places on the days were gone through."
	}
	visited := map[int]bool{}
	for i, v := range p.Visits {
		visited[v.Place] = true
		info := s.visit(r, &outlooks[r.Places[v.Place].of], v)
		if n := len(out.Days); n == 0 || i > 0 && p.Visits[i-1].Day != v.Day {
			_ = n
			out.Days = append(out.Days, DayInfo{On: r.Days[v.Day].On, Leave: clock(v.Start - v.Road)})
		}
		d := &out.Days[len(out.Days)-1]
		d.Visits = append(d.Visits, info)
		d.Road += v.Road
		if i+1 == len(p.Visits) || p.Visits[i+1].Day != v.Day {
			back := r.Travel[v.Place+1][0]
			d.Road += back
			d.Back = clock(v.End + back)
		}
		out.Work += info.Minutes
	}
	for i := range r.Places {
		if !visited[i] {
			out.Left = append(out.Left, leftOut(r, &outlooks[r.Places[i].of], i))
		}
	}
	slices.SortStableFunc(out.Left, func(a, b LeftOut) int { return int(b.Harm - a.Harm) })
	out.Missed = []MissedVisit{}
	for _, o := range outlooks {
		for _, v := range o.Booked {
			if v.Missed {
				out.Missed = append(out.Missed, MissedVisit{o.Place, o.Name, v})
			}
		}
	}
	out.Load = loadOf(out.Days, outlooks, van)
	return out, nil
}

// visit tells of a visit.
func (s *Settings) visit(r *Request, o *day.Outlook, v Visit) VisitInfo {
	d := r.Days[v.Day]
	midnight := d.On.In(o.Zone)
	at := time.Date(midnight.Year(), midnight.Month(), midnight.Day(), int(v.Work)/60, int(v.Work)%60, 0, 0, o.Zone)
	info := VisitInfo{
		On: d.On, Place: o.Place, Name: o.Name, Road: v.Road, Arrive: clock(v.Start), Work: clock(v.Work), Leave: clock(v.End), Minutes: v.End - v.Work, there: v.End - v.Start,
		Begins: at, Parts: []string{}, Tools: []string{},
	}
	if fixed := r.Places[v.Place].Fixed; fixed != nil {
		info.Booked = fixed.Visit.Record
	}
	if w := r.Places[v.Place].Lay(v.Jobs); w.ColdTo > w.ColdFrom {
		info.Unsaid = r.Places[v.Place].Quiet == nil && info.Booked == 0
		if w.ColdFrom < 0 {
			info.Off = clock(v.Work + w.ColdFrom)
		}
	}
	var jobs []day.Job
	for _, j := range v.Jobs {
		id := r.Places[v.Place].Jobs[j].Task
		jobs = append(jobs, o.Jobs[slices.IndexFunc(o.Jobs, func(x day.Job) bool { return x.ID == id })])
	}
	for _, job := range jobs {
		j := JobInfo{Task: job.ID, Title: job.Title, Name: job.Name, Minutes: job.Minutes(), Risk: cents(job.Risk(d.On))}
		for _, other := range jobs {
			if other.ID != job.ID && slices.Contains(other.Covers, job.ID) {
				j.Counted = other.Title
			}
		}
		info.Jobs = append(info.Jobs, j)
		if j.Counted == "" {
			info.Parts, info.Tools = append(info.Parts, job.Parts...), day.Merge(info.Tools, job.Tools)
		}
	}
	slices.Sort(info.Parts)
	slices.Sort(info.Tools)
	return info
}

// leftOut tells of a place that is not visited.
func leftOut(r *Request, o *day.Outlook, i int) LeftOut {
	l := LeftOut{Place: o.Place, Name: o.Name}
	could := false
	for j, job := range r.Places[i].Jobs {
		l.Harm += job.Left
		for d := range r.Days {
			could = could || r.Places[i].gain(j, d) > 0
		}
	}
	l.Harm = cents(l.Harm)
	if fixed := r.Places[i].Fixed; fixed != nil {
		l.Booked = fixed.Visit.Record
		l.Says = fmt.Sprintf("It was booked for %s at %s, and other visits that were booked leave no time to be there: move one of them.", fixed.Visit.On.Long(), fixed.Visit.At)
		return l
	}
	switch {
	case !could:
		l.Says = "Nothing there gains by being done this time."
	default:
		fits := false
		for d := range r.Days {
			for _, o := range r.options(i, d) {
				if start, ok := r.starts(i, d, r.Days[d].From+r.Travel[0][i+1], &o); ok && start+r.Stop+o.Minutes+r.Travel[i+1][0] <= r.Days[d].To {
					fits = true
				}
			}
		}
		l.Says = "What there is to do can wait, or others gain more by those hours."
		if !fits {
			l.Says = "Its hours and yours leave no time in which the work fits: give it longer opening or quiet hours, or go on another day."
		}
	}
	return l
}

// clock writes minutes after midnight.
func clock(minutes float64) string {
	m := int(minutes + 0.5)
	if m < 0 {
		return fmt.Sprintf("%02d:%02d the day before", (m+24*60)/60, (m+24*60)%60)
	}
	return fmt.Sprintf("%02d:%02d", m/60, m%60)
}

// cents keeps hundredths.
func cents(x float64) float64 { return float64(int64(100*x+0.5)) / 100 }
