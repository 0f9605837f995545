package plan

import (
	"cmp"
	"math"
	"slices"

	"limekeep/schedule/record"
)

// BookedVisit is a visit that was booked: somebody comes to do the next turns of some
// tasks. It takes none of the owner's slots, and no plan moves it.
type BookedVisit struct {
	Record int64
	On     record.Date
	Turns  []Turn
}

// BookedFor gives the visit at which the next turn of a task is done; false for none.
func (p Plan) BookedFor(task string) (BookedVisit, bool) {
	for _, b := range p.Booked {
		if slices.ContainsFunc(b.Turns, func(t Turn) bool { return t.Task == task }) {
			return b, true
		}
	}
	return BookedVisit{}, false
}

// takeBooked takes the turns out of what is planned that are done at booked visits, and
// gives those visits by day. What comes after is planned from the day of the visit on,
// as if the work were done then.
func (r *Request) takeBooked() []BookedVisit {
	var visits []BookedVisit
	for i := range r.Tasks {
		if r.Tasks[i].Booked == 0 || r.Tasks[i].IsRoutine(r.Today) {
			continue
		}
		if visits == nil {
			r.Tasks = slices.Clone(r.Tasks)
		}
		t := &r.Tasks[i]
		k := slices.IndexFunc(visits, func(b BookedVisit) bool { return b.Record == t.BookedBy })
		if k < 0 {
			k, visits = len(visits), append(visits, BookedVisit{Record: t.BookedBy, On: t.Booked})
		}
		at, day := t.start(r.Today), float64(t.Booked-r.Today)
		priced := at.turn(t, &r.Prices, day)
		visits[k].Turns = append(visits[k].Turns, Turn{
			Task: t.ID, Number: 1, Minutes: t.Minutes(), Risk: priced.Risk, Unused: priced.Unused, Late: priced.Days, Pinned: true,
		})
		t.doneOn(t.Booked)
	}
	slices.SortStableFunc(visits, func(a, b BookedVisit) int {
		return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Record, b.Record))
	})
	return visits
}

// doneOn makes the task what it is once its next turn was done on a day to come.
func (t *Task) doneOn(on record.Date) {
	life := t.from(on)
	for i, days := range life {
		t.Due[i] = 0
		if days < beyondDays {
			t.Due[i] = on + record.Date(math.Ceil(days))
		}
	}
	t.Late = 0
	if days, ok := life.late(); ok {
		t.Late = on + record.Date(math.Floor(days))
	}
	t.Fresh, t.Met, t.On, t.First, t.After = on, false, 0, 0, on
	t.Published = slices.DeleteFunc(slices.Clone(t.Published), func(d record.Date) bool { return d <= on })
	t.ahead = 1
}
