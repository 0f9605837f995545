package agenda

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say/customary"
)

// BookedEntry is a visit that was booked, as a calendar shows it: from arriving to
// leaving. It keeps its UID when it is moved.
type BookedEntry struct {
	UID      string
	Summary  string
	Visit    day.BookedInfo
	Tasks    []EntryTask
	Off      *time.Time // by when a machine must be off; nil where none must be
	Cautions []string   // what can hurt in the work
	Parts    []string
	Tools    []string
	Check    []string // how to see that booked work was done
	Alarms   []time.Duration
	Told     customary.Units // in what its quantities are told
	Sequence int
	Changed  time.Time
}

// addBooked adds the tasks of booked visits, each on the visit.
func (a *Agenda) addBooked(f *day.Forecast, dues map[string]day.Due, published map[string]record.PublishedSitting) {
	for _, visit := range f.Visits().On(f.Day) {
		if visit.Missed {
			continue // its tasks stand where the plan puts them
		}
		for _, turn := range visit.Turns {
			due := dues[turn.Task]
			if due.Routine || due.Task == "" {
				continue
			}
			e := AgendaEntry{UID: uid(a.Place, due), Due: due, Start: visit.Begins.In(a.Zone), Minutes: visit.Minutes}
			if was, ok := published[e.UID]; ok && sameWindow(due, was, a.Today) {
				e.Due = due.WithWindowSentence(was.Says)
			}
			a.add(e, published)
		}
	}
}

// addBookedGroups adds an entry for each booked visit. What went out of one before is its
// own, and of no sitting.
func (a *Agenda) addBookedGroups(f *day.Forecast, g *groups) {
	for _, visit := range f.Visits().On(f.Day) {
		if visit.Missed {
			continue
		}
		e := BookedEntry{UID: bookedUID(a.Place, visit.First), Visit: visit, Alarms: a.alarms.TimedBefore(), Told: a.told, Summary: bookedSummary(visit)}
		for _, turn := range visit.Turns {
			x, err := f.Outcome(turn.Task)
			if err != nil {
				continue // it rests, and has no entry
			}
			t := EntryTask{UID: entryUID(a.Place, turn.Task, x.Served), Task: turn.Task, Title: x.Duty.Title, Equipment: x.Duty.Equipment.ID, Name: x.Duty.Equipment.Title()}
			t.Unnamed = a.telling[t.Equipment] == ""
			if i := a.entryOf(turn.Task); i >= 0 {
				t.Says = a.Entries[i].Due.WindowSentence()
			}
			if with := visit.CountsWith(turn.Task); with != "" {
				t.Says = fmt.Sprintf("It counts as done with “%s”.", with)
			}
			if x.Duty.Task.Who.Booked() {
				e.Check = day.Merge(e.Check, x.Duty.Task.Check)
			}
			e.Tasks = append(e.Tasks, t)
		}
		if s, ok := f.Visits().Sitting(visit, 0); ok {
			e.Cautions, e.Parts, e.Tools = s.Cautions, s.Parts, s.Tools
			e.Off = offBy(s)
		}
		g.open = slices.DeleteFunc(g.open, func(p record.PublishedGroup) bool { return p.UID == e.UID })
		e.Sequence, e.Changed = a.stamp(e.UID, e.Content(), g.published)
		a.Booked = append(a.Booked, e)
	}
}

// offBy is when a machine must be off by before a sitting begins; nil where none must be.
func offBy(s day.SittingInfo) *time.Time {
	for _, step := range s.Steps {
		if step.What == string(plan.SwitchOff) && step.At.Before(s.Start) {
			return &step.At
		}
	}
	return nil
}

// bookedUID names the entry of a visit for as long as it is not done, wherever it is moved.
func bookedUID(place string, first int64) string {
	return fmt.Sprintf("%s.booked.%d@limekeep", place, first)
}

func bookedSummary(v day.BookedInfo) string {
	own := slices.DeleteFunc(slices.Clone(v.Turns), func(t day.TurnInfo) bool { return v.CountsWith(t.Task) != "" })
	return fmt.Sprintf("Visit of %s: %s", cmp.Or(v.By, "the technician"), nameTurns(own))
}

// Content is a fingerprint of all that the entry shows.
func (e BookedEntry) Content() string {
	return fingerprint(struct {
		Begins        time.Time
		Minutes       float64
		Summary, Note string
		Tasks         []EntryTask
		Off           *time.Time
		Cautions      []string
		Parts, Tools  []string
		Check         []string
		Alarms        []time.Duration
		Told          string `json:",omitempty"`
	}{e.Visit.Begins, e.Visit.Minutes, e.Summary, e.Visit.Note, shown(e.Tasks), e.Off, e.Cautions, e.Parts, e.Tools, e.Check, e.Alarms, e.Told.String()})
}
