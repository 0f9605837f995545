package day

import (
	"slices"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// Outlook is a place from afar: what somebody who looks after many has to know of it,
// and what a round is planned from. It is small enough to be kept for every place.
type Outlook struct {
	Place   string         `json:"place"`             // id
	Name    string         `json:"name"`              // for people
	Group   string         `json:"group,omitempty"`   // the chain or the customer that it belongs to
	Address string         `json:"address,omitempty"` // where it is
	Zone    *time.Location `json:"-"`
	Today   record.Date    `json:"today"`
	Version int64          `json:"-"` // of the place's records

	Alarms []Alarm      `json:"alarms"` // what is dangerous or wrong, the worst first
	Past   int          `json:"past"`   // tasks past their likely date, routine not among them
	Soon   int          `json:"soon"`   // likely within a month
	First  *OutlookTask `json:"first"`  // what is likely the soonest, or was; null for nothing
	Next   *OutlookWork `json:"next"`   // the next sitting; null where none is planned
	Call   *OutlookWork `json:"call"`   // the next visit to be booked, on the day to call by; null for none
	Booked []BookedInfo `json:"booked"` // visits that were booked
	Harm   float64      `json:"harm_per_week"`
	Orders []OrderInfo  `json:"orders"`

	Jobs     []Job                   `json:"-"` // that may fall due within outlookDays
	Machines map[string]plan.Machine `json:"-"` // how long each takes to heat and to cool
	Stock    []StockInfo             `json:"-"` // what is there of what tasks use up
	Used     []PartUse               `json:"-"` // what services used up within usedDays

	Standing Standing `json:"-"` // beside other places
}

// OutlookTask is a task with its likely date.
type OutlookTask struct {
	Task   string      `json:"task"`
	Title  string      `json:"title"`
	Name   string      `json:"equipment_name"`
	Likely record.Date `json:"likely"`
}

// OutlookWork is a sitting or a visit.
type OutlookWork struct {
	On      record.Date `json:"on"`
	At      *time.Time  `json:"at,omitempty"` // of a sitting
	Minutes float64     `json:"minutes,omitempty"`
	Titles  []string    `json:"titles"`
}

// More counts its tasks beside the first.
func (w OutlookWork) More() int { return len(w.Titles) - 1 }

// Job is a task that somebody who comes by could do.
type Job struct {
	plan.Task
	Title string
	Name  string // of the equipment
	Who   care.Who
	Parts []string // that it uses up, one each
	Tools []string
}

// outlookDays is how far ahead a job may fall due to be known to an outlook: a round of
// four weeks, and as much again after it. Assumption.
const outlookDays = 56

// usedDays is how far back an outlook knows what services used up: a van is counted more
// often. Assumption.
const usedDays = 366

// Outlook returns the place from afar.
func (f *Forecast) Outlook() Outlook {
	p := f.Plan()
	info := f.Day.Info()
	o := Outlook{
		Place: info.Place, Name: info.Name, Group: info.Group, Address: info.Address, Zone: f.Day.Zone, Today: f.Day.Today, Version: f.Day.Version(),
		Alarms: f.Alarms(), Orders: f.Orders(), Machines: f.request.Machines, Stock: f.Stock(), Booked: p.Booked, Used: f.Day.PartsUsed(f.Day.Today - usedDays),
	}
	for _, d := range f.Due() {
		if !d.Routine && d.Likely != nil && o.First == nil {
			o.First = &OutlookTask{Task: d.Task, Title: d.Title, Name: d.Name, Likely: *d.Likely}
		}
	}
	o.Standing = f.Standing()
	o.Past, o.Soon, o.Harm = o.Standing.Past, o.Standing.Soon, o.Standing.HarmMinutes
	if len(p.Sittings) > 0 {
		s := p.Sittings[0]
		o.Next = &OutlookWork{On: record.DateOf(s.Start.In(f.Day.Zone)), At: &s.Start, Minutes: s.Minutes, Titles: titlesOfTurns(s.Turns)}
	}
	for _, v := range p.Visits {
		if o.Call == nil || v.CallBy < o.Call.On {
			o.Call = &OutlookWork{On: v.CallBy, Titles: titlesOfTurns(v.Turns)}
		}
	}
	for i := range f.request.Tasks {
		t := &f.request.Tasks[i]
		if t.IsRoutine(o.Today) {
			continue
		}
		pricer := plan.NewPricer(t, &f.request.Prices, o.Today)
		if pricer.On(o.Today+outlookDays).Risk == 0 && t.Booked == 0 {
			continue
		}
		x, err := f.Outcome(t.ID)
		if err != nil {
			continue // cannot be: the request was made from the outcomes
		}
		o.Jobs = append(o.Jobs, Job{Task: *t, Title: x.Duty.Title, Name: x.Duty.Equipment.Title(), Who: x.Duty.Task.Who, Parts: partsOf(x.Duty), Tools: slices.Clone(x.Duty.Task.Tools)})
	}
	return o
}

// pastAndSoon counts the tasks that are past their likely date, and those that are likely
// within a month, routine not among them. It makes no sentences, as Due does.
func (f *Forecast) pastAndSoon() (past, soon int) {
	routine := map[string]bool{}
	for i := range f.request.Tasks {
		t := &f.request.Tasks[i]
		routine[t.ID] = t.On == 0 && t.IsRoutine(f.Day.Today)
	}
	for _, x := range f.outcomes {
		switch likely := x.Window.Likely; {
		case likely.IsZero() || routine[x.Duty.ID] && x.Absence == nil:
		case likely < f.Day.Today:
			past++
		case likely <= f.Day.Today+briefDays:
			soon++
		}
	}
	return past, soon
}

// weekOfHarm returns what a week more of waiting costs, in minutes.
func (f *Forecast) weekOfHarm() float64 {
	harm := 0.0
	for i := range f.request.Tasks {
		if t := &f.request.Tasks[i]; !t.IsRoutine(f.Day.Today) {
			pricer := plan.NewPricer(t, &f.request.Prices, f.Day.Today)
			harm += pricer.On(f.Day.Today + 7).Harm
		}
	}
	return cents(harm)
}

func titlesOfTurns(turns []TurnInfo) []string {
	titles := make([]string, len(turns))
	for i, t := range turns {
		titles[i] = say.OfTask(t.Title, t.Name)
	}
	return titles
}
