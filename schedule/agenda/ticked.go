package agenda

import (
	"fmt"
	"slices"
	"time"

	"limekeep/schedule/day"
)

// WithDone returns the agenda as it shows once an entry was done, ahead of the plan
// that will follow from it: the entry goes, from its sitting or visit as well, and
// what was done stands on its day. What shows another content counts one change
// more. An agenda that has it done already stays as it is.
func (a Agenda) WithDone(done DoneEntry) Agenda {
	is := func(e DoneEntry) bool { return e.UID == done.UID }
	if slices.ContainsFunc(a.Done, is) || slices.ContainsFunc(a.RoutineDone, is) {
		return a
	}
	open := func(e AgendaEntry) bool { return e.UID == done.UID }
	if slices.ContainsFunc(a.RoutineOpen, open) {
		a.RoutineOpen = slices.DeleteFunc(slices.Clone(a.RoutineOpen), open)
		a.RoutineDone = append(slices.Clone(a.RoutineDone), done)
		return a
	}
	a.Entries = slices.DeleteFunc(slices.Clone(a.Entries), open)
	a.Done = append(slices.Clone(a.Done), done)
	var ended string
	a.Sittings, ended = withoutTask(a.Sittings, done, (*SittingEntry).group, func(e *SittingEntry) {
		e.Sitting.Steps = slices.DeleteFunc(slices.Clone(e.Sitting.Steps), func(s day.StepInfo) bool { return s.Task == done.Task })
		e.Summary = e.summary()
	})
	if ended == "" {
		a.Visits, ended = withoutTask(a.Visits, done, (*VisitEntry).group, func(e *VisitEntry) { e.Summary = e.summary() })
	}
	if ended == "" {
		a.Booked, ended = withoutTask(a.Booked, done, (*BookedEntry).group, func(e *BookedEntry) { e.Summary = bookedSummary(e.Visit) })
	}
	a.DoneDays = slices.Clone(a.DoneDays)
	i := slices.IndexFunc(a.DoneDays, func(d DoneDay) bool { return d.On == done.On })
	if i < 0 {
		d := DoneDay{UID: ended, On: done.On, Done: []DoneEntry{done}, Sequence: done.Sequence, Changed: done.Changed}
		if ended == "" {
			d.UID = fmt.Sprintf("%s.done.%s@limekeep", a.Place, done.On)
		}
		a.DoneDays = append(a.DoneDays, d)
		return a
	}
	d := &a.DoneDays[i]
	d.Done = append(slices.Clone(d.Done), done)
	d.Sequence, d.Changed = d.Sequence+1, done.Changed
	return a
}

// entryGroup is what a sitting's entry and a visit's have in common: tasks that leave
// it as they are done.
type entryGroup struct {
	uid      string
	tasks    *[]EntryTask
	turns    *[]day.TurnInfo
	sequence *int
	changed  *time.Time
}

func (e *SittingEntry) group() entryGroup {
	return entryGroup{uid: e.UID, tasks: &e.Tasks, turns: &e.Sitting.Turns, sequence: &e.Sequence, changed: &e.Changed}
}

func (e *VisitEntry) group() entryGroup {
	return entryGroup{uid: e.UID, tasks: &e.Tasks, turns: &e.Visit.Turns, sequence: &e.Sequence, changed: &e.Changed}
}

func (e *BookedEntry) group() entryGroup {
	return entryGroup{uid: e.UID, tasks: &e.Tasks, turns: &e.Visit.Turns, sequence: &e.Sequence, changed: &e.Changed}
}

// without takes out what was done, and reports whether it was there.
func (g entryGroup) without(done DoneEntry) bool {
	i := slices.IndexFunc(*g.tasks, func(t EntryTask) bool { return t.UID == done.UID })
	if i < 0 {
		return false
	}
	*g.tasks = slices.Delete(slices.Clone(*g.tasks), i, i+1)
	*g.turns = slices.DeleteFunc(slices.Clone(*g.turns), func(t day.TurnInfo) bool { return t.Task == done.Task })
	*g.sequence++
	*g.changed = later(*g.changed, done.Changed)
	return true
}

// withoutTask takes what was done out of the groups of entries that have it, and
// tells anew what is left of one; a group that has no task left ends, and its UID is
// returned.
func withoutTask[G any](all []G, done DoneEntry, group func(*G) entryGroup, retell func(*G)) (left []G, ended string) {
	for _, e := range all {
		g := group(&e)
		switch {
		case !g.without(done):
		case len(*g.turns) == 0:
			ended = g.uid
			continue
		default:
			retell(&e)
		}
		left = append(left, e)
	}
	return left, ended
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
