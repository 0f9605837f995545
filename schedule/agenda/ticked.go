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
	a.Sittings, ended = withoutTask(a.Sittings, done, SittingEntry.without)
	if ended == "" {
		a.Visits, ended = withoutTask(a.Visits, done, VisitEntry.without)
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

// withoutTask takes what was done out of the groups of entries that have it; a group
// that has no task left ends, and its UID is returned.
func withoutTask[G any](all []G, done DoneEntry, without func(G, DoneEntry) (G, string, bool)) (left []G, ended string) {
	for _, g := range all {
		g, uid, lives := without(g, done)
		if lives {
			left = append(left, g)
		} else {
			ended = uid
		}
	}
	return left, ended
}

// without takes a task out of a sitting.
func (e SittingEntry) without(done DoneEntry) (SittingEntry, string, bool) {
	i := slices.IndexFunc(e.Tasks, func(t EntryTask) bool { return t.UID == done.UID })
	if i < 0 {
		return e, e.UID, true
	}
	e.Tasks = slices.Delete(slices.Clone(e.Tasks), i, i+1)
	e.Sitting.Turns = slices.DeleteFunc(slices.Clone(e.Sitting.Turns), func(t day.TurnInfo) bool { return t.Task == done.Task })
	e.Sitting.Steps = slices.DeleteFunc(slices.Clone(e.Sitting.Steps), func(s day.StepInfo) bool { return s.Task == done.Task })
	e.Sequence, e.Changed = e.Sequence+1, later(e.Changed, done.Changed)
	if len(e.Sitting.Turns) == 0 {
		return e, e.UID, false
	}
	e.Summary = sittingSummary(e.Sitting)
	return e, e.UID, true
}

// without takes a task out of a visit.
func (e VisitEntry) without(done DoneEntry) (VisitEntry, string, bool) {
	i := slices.IndexFunc(e.Tasks, func(t EntryTask) bool { return t.UID == done.UID })
	if i < 0 {
		return e, e.UID, true
	}
	e.Tasks = slices.Delete(slices.Clone(e.Tasks), i, i+1)
	e.Visit.Turns = slices.DeleteFunc(slices.Clone(e.Visit.Turns), func(t day.TurnInfo) bool { return t.Task == done.Task })
	e.Sequence, e.Changed = e.Sequence+1, later(e.Changed, done.Changed)
	if len(e.Visit.Turns) == 0 {
		return e, e.UID, false
	}
	e.Summary = visitSummary(e.Visit)
	return e, e.UID, true
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
