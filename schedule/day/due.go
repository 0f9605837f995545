package day

import (
	"cmp"
	"slices"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
)

// WithWindowSentence returns the due with another sentence on its window.
func (d Due) WithWindowSentence(window string) Due {
	if n := len(d.Why); n > 0 {
		d.Why = append(slices.Clone(d.Why[:n-1]), window)
	}
	return d
}

// WindowSentence is the sentence of an entry that its calendar shows.
func (d Due) WindowSentence() string {
	if n := len(d.Why); n > 0 {
		return d.Why[n-1]
	}
	return ""
}

// Due is when one task falls due, and why.
type Due struct {
	Task        string         `json:"task"` // stable id
	Equipment   string         `json:"equipment"`
	Name        string         `json:"equipment_name"`
	Title       string         `json:"title"`
	Early       *record.Date   `json:"early"`  // one world in ten has it due by then; null beyond the horizon
	Likely      *record.Date   `json:"likely"` // half of the worlds
	Late        *record.Date   `json:"late"`   // nine in ten
	Beyond      bool           `json:"beyond"` // the likely date lies beyond the horizon of five years
	Overdue     bool           `json:"overdue"`
	Routine     bool           `json:"routine"`              // comes round daily, so it gets no sitting
	OnItsDay    bool           `json:"on_its_day,omitempty"` // goes with a time away: it belongs on its likely date, so it gets no sitting
	Sitting     *time.Time     `json:"sitting"`              // when it is planned, or what covers it; null where it is not
	CoveredBy   string         `json:"covered_by,omitempty"` // task of that sitting that counts for it; empty where it is done itself
	Visit       *record.Date   `json:"visit,omitempty"`      // of booked work: the day it is planned for
	CallBy      *record.Date   `json:"call_by,omitempty"`    // of booked work: the day to call somebody by
	Booked      *BookedDay     `json:"booked,omitempty"`     // the visit at which it is done; null where none was booked
	LastService *record.Date   `json:"last_service"`
	Fresh       record.Date    `json:"fresh"`  // last service, or the day the part was new
	Served      int64          `json:"served"` // record of the last service, 0 for none
	Gauges      []GaugeReading `json:"gauges"`
	Assumed     []Assumed      `json:"assumed,omitempty"`             // what it rests on that nobody said
	Narrows     float64        `json:"a_look_narrows_days,omitempty"` // of a part with an unknown past: days by which a look at it would narrow its window, about
	Why         []string       `json:"why"`                           // plain sentences with the numbers
	Cautions    []string       `json:"cautions"`
	MakeSafe    []string       `json:"make_safe"`
	Who         care.Who       `json:"who"`
	Minutes     float64        `json:"minutes"`
	Findings    []string       `json:"findings,omitempty"` // what a service can record
	Rests       string         `json:"rests,omitempty"`    // why it cannot fall due at all; empty where it can
}

// BookedDay is when somebody comes to do a task.
type BookedDay struct {
	Record int64       `json:"record"`
	On     record.Date `json:"on"`
	At     string      `json:"at"`
	By     string      `json:"by,omitempty"`
}

// Assumed is something that nobody said, and what would replace the guess.
type Assumed struct {
	Says string `json:"says"`
	Do   string `json:"do"` // as the door spells it
}

// GaugeReading is where one gauge stands today.
type GaugeReading struct {
	Name    string      `json:"name"`
	Reading float64     `json:"reading"` // 0 fresh, 1 at the limit, more when overdue
	Limit   float64     `json:"limit"`   // the usual one
	Unit    string      `json:"unit"`
	Driver  care.Driver `json:"driver"`
}

// dueTeller puts together what a forecast says of tasks that fall due.
type dueTeller struct{ *Forecast }

// allDue works the list of what is due out.
func (f dueTeller) allDue() []Due {
	all := make([]Due, 0, len(f.outcomes))
	for _, outcome := range f.outcomes {
		all = append(all, f.due(outcome))
	}
	slices.SortStableFunc(all, func(a, b Due) int {
		return cmp.Or(cmp.Compare(a.sortDate(), b.sortDate()), cmp.Compare(a.Task, b.Task))
	})
	return all
}

// DueOf returns one task alone, one that rests too. The name may be as much of
// the task's id as no other shares; one that stands for nothing is an error that
// matches record.ErrUnknown.
func (f *Forecast) DueOf(task string) (Due, error) {
	duty, err := f.Day.Duty(task)
	if err != nil {
		return Due{}, err
	}
	if why := f.Day.rests(duty); why != "" {
		return dueTeller{f}.resting(duty, why), nil
	}
	outcome, err := f.Outcome(duty.ID)
	if err != nil {
		return Due{}, err
	}
	return dueTeller{f}.due(outcome), nil
}

// sortDate is the likely date, and after all others where there is none.
func (d Due) sortDate() record.Date {
	if d.Likely == nil {
		return schedule.EndOfTime
	}
	return *d.Likely
}

func (f dueTeller) due(x wear.Outcome) Due {
	due := Due{
		Task:      x.Duty.ID,
		Equipment: x.Duty.Equipment.ID,
		Name:      x.Duty.Equipment.Title(),
		Title:     x.Duty.Title,
		Early:     DateOrNil(x.Window.Early),
		Likely:    DateOrNil(x.Window.Likely),
		Late:      DateOrNil(x.Window.Late),
		Beyond:    x.Window.Likely.IsZero(),
		Overdue:   !x.Window.Likely.IsZero() && x.Window.Likely < f.Day.Today,
		Routine:   f.routine(x),
		OnItsDay:  x.Absence != nil,
		Fresh:     x.Since,
		Served:    x.Served,
		Why:       say.Why(x, f.whyFacts(x)),
		Cautions:  f.Day.Catalogue().Cautions(x.Duty.Task),
		MakeSafe:  x.Duty.Task.MakeSafe,
		Who:       x.Duty.Task.Who,
		Minutes:   x.Duty.Task.Minutes,
		Findings:  FindingsOf(x.Duty.Task),
	}
	if sitting, turn, ok := f.plan.Next(x.Duty.ID); ok {
		due.Sitting = &sitting.Start
		if turn.Task != x.Duty.ID {
			due.CoveredBy = turn.Task
		}
	}
	if visit, ok := f.plan.Visit(x.Duty.ID); ok {
		due.Visit, due.CallBy = &visit.On, &visit.CallBy
	}
	if visit, ok := f.Day.bookedFor(x.Duty.ID); ok && !due.Routine {
		due.Booked = &BookedDay{Record: visit.ID, On: visit.Body.On, At: visit.Body.At, By: visit.Body.By}
	}
	for _, a := range say.Assumptions(x, f.whyFacts(x)) {
		due.Assumed = append(due.Assumed, Assumed{Says: a.Says + ".", Do: f.Day.Spell(a.Do)})
	}
	if x.Past != nil {
		due.Narrows = x.Past.Narrows
	}
	if x.Served != 0 {
		due.LastService = DateOrNil(x.Since)
	}
	for _, g := range x.Gauges {
		due.Gauges = append(due.Gauges, GaugeReading{
			Name: g.Gauge.Name, Reading: g.Reading.Likely, Limit: g.Gauge.Limit.Usual, Unit: g.Gauge.Unit, Driver: g.Gauge.Driver,
		})
	}
	return due
}

// resting is a task that cannot fall due, and why.
func (f dueTeller) resting(duty care.Duty, why string) Due {
	due := Due{
		Task: duty.ID, Equipment: duty.Equipment.ID, Name: duty.Equipment.Title(), Title: duty.Title, Beyond: true,
		Fresh: duty.Since, Rests: why, Why: append([]string{"It does not fall due: " + why + "."}, say.Changes(duty, f.Day.Book.OwnCare().On)...),
		Cautions: f.Day.Catalogue().Cautions(duty.Task), MakeSafe: duty.Task.MakeSafe,
		Who: duty.Task.Who, Minutes: duty.Task.Minutes, Findings: FindingsOf(duty.Task), Gauges: []GaugeReading{},
	}
	if last, ok := LastService(f.Day.Book, duty); ok {
		due.Fresh, due.Served, due.LastService = last.On, last.ID, DateOrNil(last.On)
	}
	return due
}

// DateOrNil returns a date for an answer, nil where there is none.
func DateOrNil(d record.Date) *record.Date {
	if d.IsZero() {
		return nil
	}
	return &d
}

// FindingsOf returns the words for what a task can find; empty where it finds nothing.
func FindingsOf(t *care.Task) []string {
	switch t.Findings {
	case care.FindsScale:
		return record.ScaleFindings()
	case care.FindsPart:
		return record.PartFindings()
	}
	return nil
}

// whyFacts gathers what the sentences on an outcome need beside it.
func (f dueTeller) whyFacts(x wear.Outcome) say.WhyFacts {
	return say.WhyFacts{Today: f.Day.Today, Spell: f.Day.opener.Spell, Changed: f.Day.Book.OwnCare().On, Drains: f.drains(x), Makers: f.makers(x), Name: f.nameOf}
}

// drains returns what draining would do, for the task that does it: that is known
// of the same vessel's scale.
func (f dueTeller) drains(x wear.Outcome) *wear.DrainEffect {
	for _, g := range x.Duty.Gauges {
		if g.Driver != care.ByBoilerChloride && g.Driver != care.ByBoilerAlkalinity && g.Driver != care.ByBoilerSolids {
			continue
		}
		for _, other := range f.outcomes {
			if other.Scale != nil && other.Duty.Equipment.ID == x.Duty.Equipment.ID && other.Duty.Part == x.Duty.Part {
				return other.Scale.Drains
			}
		}
	}
	return nil
}

// makers lists the machines whose shots wear a task's part.
func (f dueTeller) makers(x wear.Outcome) []say.Maker {
	if !slices.ContainsFunc(x.Duty.Gauges, func(g care.BoundGauge) bool { return byDrinks(g.Driver) }) {
		return nil
	}
	machines := []string{x.Duty.Equipment.ID}
	if g := x.Duty.Equipment.Grinder; g != nil {
		machines = g.Serves
	}
	var makers []say.Maker
	for _, id := range machines {
		c, ok := f.courses[id]
		if !ok {
			continue
		}
		name := id
		if e, err := f.Day.Book.Find(id); err == nil {
			name = e.Title()
		}
		makers = append(makers, say.Maker{Name: name, Weekly: c.Rate.Weekly(), LoggedDays: c.Rate.LoggedDays, Assumed: c.Assumed, Milk: c.Spread.Milk.Percentiles(), HotWater: c.Spread.HotWater.Percentiles().Times(c.Rate.Weekly() / 7)})
	}
	return makers
}

func byDrinks(d care.Driver) bool {
	switch d {
	case care.ByShots, care.ByKilograms, care.ByScaleMass, care.ByScaleThickness:
		return true
	}
	return false
}
