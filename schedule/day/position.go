package day

import (
	"slices"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// Position is where the next turn of a task stands in the plan, what the owner
// said of that, and what moving it on would risk.
type Position struct {
	Task     string       `json:"task"`
	Movable  bool         `json:"movable"`   // false for what gets no sitting: the routine, what goes with a time away, what cannot fall due, what a visit was booked for
	On       *record.Date `json:"on"`        // the day it is planned for; null for none
	Risk     float64      `json:"risk"`      // probability that its limit is passed by then
	Late     *record.Date `json:"late"`      // its late date; null beyond the horizon
	Fixed    *record.Date `json:"fixed"`     // the day the owner fixed it on; null for none
	After    *record.Date `json:"after"`     // the day the owner put it off beyond; null for none
	Next     *record.Date `json:"next"`      // day of the next slot after its own; null for none
	NextRisk float64      `json:"next_risk"` // probability that its limit is passed by that one
	First    record.Date  `json:"first"`     // days that it can be moved to
	Last     record.Date  `json:"last"`
	Says     string       `json:"says"` // in a sentence; empty where it cannot be moved
}

// Positions are where the next turns of tasks stand in a forecast's plan, and what other
// days would risk.
type Positions struct{ f *Forecast }

// Positions returns them.
func (f *Forecast) Positions() Positions { return Positions{f} }

// Of returns where the next turn of a task stands. Where it stood before,
// for comparison, may be zero. The name may be as much of the task's id as no
// other shares; one that stands for nothing is an error that matches
// record.ErrUnknown.
func (q Positions) Of(task string, before record.Date) (Position, error) {
	duty, err := q.f.Day.Duty(task)
	if err != nil {
		return Position{}, err
	}
	s := Position{Task: duty.ID, First: q.f.Day.Today, Last: q.f.request.Until - 1}
	i := slices.IndexFunc(q.f.request.Tasks, func(t plan.Task) bool { return t.ID == duty.ID })
	if i < 0 || slices.Contains(q.f.Routine(), duty.ID) {
		return s, nil
	}
	if _, booked := q.f.plan.BookedFor(duty.ID); booked {
		return s, nil // its visit is moved, or withdrawn
	}
	t := &q.f.request.Tasks[i]
	moved := q.Moved(duty.ID, before)
	s.Movable, s.On, s.Risk, s.Late, s.Says = true, moved.To, moved.After, moved.Late, moved.Says
	s.Fixed = DateOrNil(t.On)
	for i := range q.f.outcomes { // what waits for the first sitting was put off by nobody
		if x := &q.f.outcomes[i]; x.Duty.ID == duty.ID {
			pin, _ := q.f.Day.Book.Pin(t.ID, x.Served)
			s.After = DateOrNil(pin.After)
		}
	}
	if s.On == nil || t.Visit {
		return s, nil
	}
	for _, slot := range q.f.request.Slots {
		if day := slot.Date(); day > *s.On {
			s.Next, s.NextRisk = &day, cents(t.Risk(day))
			break
		}
	}
	return s, nil
}

// Moved tells where the next turn of a task stands, beside where it stood before,
// which may be zero for nowhere.
func (q Positions) Moved(task string, from record.Date) Moved {
	moved := Moved{Task: task, From: DateOrNil(from)}
	for i := range q.f.request.Tasks {
		t := &q.f.request.Tasks[i]
		if t.ID != task {
			continue
		}
		moved.Late = DateOrNil(t.Late)
		if from != 0 {
			moved.Before = cents(t.Risk(from))
		}
		to := q.DayOf(task)
		if to.IsZero() {
			moved.Says = say.NoSitting(q.f.request.Until - 1)
			break
		}
		moved.To, moved.After = &to, cents(t.Risk(to))
		moved.Says = say.Position(t, from, to)
	}
	return moved
}

// DayOf returns the day on which the next turn of a task is planned, in a sitting
// or at a visit; zero for none.
func (q Positions) DayOf(task string) record.Date {
	if sitting, _, ok := q.f.plan.Next(task); ok {
		return sitting.Date()
	}
	if booked, ok := q.f.plan.BookedFor(task); ok {
		return booked.On
	}
	visit, _ := q.f.plan.Visit(task)
	return visit.On
}

// IfMoved tells what the next turn of a task would risk on another day, before it is
// moved there. The name may be as much of the task's id as no other shares.
func (q Positions) IfMoved(task string, to record.Date) (Moved, error) {
	duty, err := q.f.Day.Duty(task)
	if err != nil {
		return Moved{}, err
	}
	if to < q.f.Day.Today || to >= q.f.request.Until {
		return Moved{}, &record.FieldError{Field: "date", Value: to.String(), Want: "a day from today to the end of the plan, " + (q.f.request.Until - 1).String()}
	}
	moved := Moved{Task: duty.ID, From: DateOrNil(q.DayOf(duty.ID)), To: &to}
	i := slices.IndexFunc(q.f.request.Tasks, func(t plan.Task) bool { return t.ID == duty.ID })
	if i < 0 {
		return moved, &record.UnknownError{What: "task with sittings", Name: duty.ID}
	}
	t := &q.f.request.Tasks[i]
	moved.Late, moved.After = DateOrNil(t.Late), cents(t.Risk(to))
	var from record.Date
	if moved.From != nil {
		from = *moved.From
		moved.Before = cents(t.Risk(from))
	}
	moved.Says = say.WouldBe(t, from, to)
	return moved, nil
}
