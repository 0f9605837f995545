package agenda

import (
	"fmt"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/say/customary"
)

// VisitEntry is work to be booked, as a calendar shows it: on the day to call by.
type VisitEntry struct {
	UID      string
	Summary  string
	Visit    day.VisitInfo
	Tasks    []EntryTask
	Ask      []string    // what to ask for
	Check    []string    // how to see that it was done
	Day      record.Date // that it stands on
	Alarms   []time.Duration
	Told     customary.Units // in what its quantities are told
	Sequence int
	Changed  time.Time
}

// visitEntry makes the entry of a visit, but for what the last publication says
// of it.
func (a *Agenda) visitEntry(f *day.Forecast, visit plan.Appointment) VisitEntry {
	e := VisitEntry{Visit: f.Visit(visit), Alarms: a.alarms.AllDayBefore(), Told: a.told, Day: max(visit.CallBy, a.Today)}
	e.Tasks = a.entryTasks(f, visit.Turns, func(plan.Turn, bool) string { return "" })
	asked := map[care.Who][]string{}
	for _, turn := range visit.Turns {
		if x, err := f.Outcome(turn.Task); err == nil {
			asked[x.Duty.Task.Who] = day.Merge(asked[x.Duty.Task.Who], x.Duty.Task.AskFor)
			e.Check = day.Merge(e.Check, x.Duty.Task.Check)
		}
	}
	for _, who := range []care.Who{care.Licensed, care.Workshop} { // law and safety first
		for _, line := range asked[who] {
			if len(asked) > 1 {
				line = say.UpperFirst(who.People()) + ": " + line
			}
			e.Ask = append(e.Ask, line)
		}
	}
	e.Summary = e.summary()
	return e
}

func (e *VisitEntry) summary() string {
	v := e.Visit
	what := v.Turns[0].Title
	if len(v.Turns) > 1 {
		what += fmt.Sprintf(" and %d more", len(v.Turns)-1)
	}
	if len(e.Tasks) > 0 && e.Tasks[0].Unnamed {
		return fmt.Sprintf("Call %s: %s", v.Who.People(), what)
	}
	return fmt.Sprintf("Call %s for %s: %s", v.Who.People(), v.Name, what)
}

// Content is a fingerprint of all that the entry shows.
func (e VisitEntry) Content() string {
	return fingerprint(struct {
		Day, On    record.Date
		Summary    string
		Tasks      []EntryTask
		Ask, Check []string
		Alarms     []time.Duration
		Told       string `json:",omitempty"`
	}{e.Day, e.Visit.On, e.Summary, shown(e.Tasks), e.Ask, e.Check, e.Alarms, e.Told.String()})
}
