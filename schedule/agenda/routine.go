package agenda

import (
	"limekeep/schedule/day"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// addRoutineTasks adds an entry for each task of a round, for task apps alone: there
// the round is ticked off in part. A task is due on the day of its round that lies
// nearest to a round after it was last done, so that what was done a day early does
// not come back the day after. What nobody ticks off stays on its day.
func (a *Agenda) addRoutineTasks(round plan.Routine, dues map[string]day.Due, published map[string]record.PublishedSitting) {
	for _, task := range round.Tasks {
		due := dues[task]
		e := AgendaEntry{UID: uid(a.Place, due), Due: due, Start: roundDay(round, due.LastService).In(a.Zone), Minutes: due.Minutes, AllDay: true}
		if was, ok := published[e.UID]; ok {
			e.Start = record.DateOf(was.Start.In(a.Zone)).In(a.Zone)
			if sameWindow(due, was, a.Today) {
				e.Due = due.WithWindowSentence(was.Says)
			}
		}
		e.Guarded, e.Values = a.guarded[task], a.values[task]
		if due.Served == 0 {
			e.Sent = a.sent[task]
		}
		e.Unnamed = a.unnamed(e)
		e.Sequence, e.Changed = a.stamp(e.UID, e.Content(), published)
		a.RoutineOpen = append(a.RoutineOpen, e)
	}
}

// roundDay returns the day of a round that lies nearest to a round after a day, and
// behind it; the first from today on where it never was done.
func roundDay(round plan.Routine, last *record.Date) record.Date {
	if last == nil {
		return round.From
	}
	every := record.Date(round.EveryDays)
	want := *last + every
	off := ((want-round.From)%every + every) % every // by how much a round lies before it
	if 2*off > every {
		return want - off + every
	}
	return max(want-off, *last+1)
}

// ForTaskApps returns the agenda as task apps have it: with an entry for each task
// of the routine that is open, and for the last time that each was done.
func (a Agenda) ForTaskApps() Agenda {
	a.Entries = append(a.Entries[:len(a.Entries):len(a.Entries)], a.RoutineOpen...)
	a.Done = append(a.Done[:len(a.Done):len(a.Done)], a.RoutineDone...)
	return a
}
