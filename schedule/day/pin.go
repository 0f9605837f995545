package day

import (
	"fmt"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// Move is where the owner wants the next turn of a task.
type Move string

// Moves.
const (
	MoveTo   Move = "to"   // a day named
	MoveNext Move = "next" // the next slot after the one it is planned for
	MoveSkip Move = "skip" // not in the slot it is planned for; the plan chooses a later one
	MoveFix  Move = "fix"  // the day it is planned for, whatever comes
	MoveFree Move = "free" // wherever the plan puts it
)

// Moved tells what became of the next turn of a task, and what that risks.
type Moved struct {
	Record int64        `json:"record"` // of the pin that moved it; 0 for none
	Task   string       `json:"task"`
	From   *record.Date `json:"from"` // where it stood; null for nowhere
	To     *record.Date `json:"to"`   // where it stands now; null for nowhere
	Late   *record.Date `json:"late"` // its late date; null beyond the horizon
	Before float64      `json:"risk_before"`
	After  float64      `json:"risk"` // probability that its limit is passed by then
	Says   string       `json:"says"`
}

// Pin returns the pin that moves the next turn of a task. A move that cannot be
// is a *record.FieldError, a task that is none an error that matches
// record.ErrUnknown.
func (q Positions) Pin(task string, move Move, to record.Date) (record.Pin, error) {
	x, err := q.f.Outcome(task)
	if err != nil {
		return record.Pin{}, err
	}
	if q.f.routine(x) {
		return record.Pin{}, &record.FieldError{Field: "task", Value: task, Want: "a task that has a sitting: this one belongs to the routine"}
	}
	if visit, ok := q.f.plan.BookedFor(x.Duty.ID); ok {
		return record.Pin{}, &record.FieldError{Field: "task", Value: task, Want: fmt.Sprintf("a task that nobody comes for: a visit on %s was booked for this one, which is moved or withdrawn as a whole (record %d)", visit.On.Long(), visit.Record)}
	}
	from := q.DayOf(x.Duty.ID)
	pin := record.Pin{Task: x.Duty.ID, Served: x.Served}
	switch move {
	case MoveTo:
		pin.On = to
	case MoveFree:
		pin.Free = true
	default:
		if from.IsZero() {
			return record.Pin{}, &record.FieldError{Field: "task", Value: task, Want: "a task that has a sitting, or a day to move it to"}
		}
		switch move {
		case MoveFix:
			pin.On = from
		case MoveNext:
			if x.Duty.Task.Who.Booked() {
				return record.Pin{}, &record.FieldError{Field: "task", Value: task, Want: "a day: booked work has no slots"}
			}
			for _, s := range q.f.request.Slots {
				if s.Date() > from && pin.On.IsZero() {
					pin.On = s.Date()
				}
			}
			if pin.On.IsZero() {
				return record.Pin{}, &record.FieldError{Field: "task", Value: task, Want: "a day: no slot is left after " + from.Long()}
			}
		case MoveSkip:
			pin.After = from
		}
	}
	return pin, q.check(pin)
}

// check sees that a day can be had.
func (q Positions) check(pin record.Pin) error {
	if err := pin.Validate(); err != nil {
		return err
	}
	if pin.On.IsZero() {
		return nil
	}
	last := q.f.request.Until - 1
	if pin.On < q.f.Day.Today || pin.On > last {
		return &record.FieldError{Field: "date", Value: pin.On.String(), Want: fmt.Sprintf("a day from today, %s, to the end of the plan, %s", q.f.Day.Today, last)}
	}
	if duty, err := q.f.Day.Duty(pin.Task); err == nil && duty.Task.Who.Booked() {
		return nil // whoever comes does not come into the owner's hours
	}
	slots, err := plan.Slots(q.f.Day.Place, pin.On, pin.On)
	if err != nil {
		return err
	}
	if len(slots) == 0 {
		added, err := plan.SlotOn(q.f.Day.Place, pin.On)
		if err != nil {
			return err
		}
		slots = append(slots, added)
	}
	if len(plan.Free(slots, q.f.blocked(last))) == 0 {
		return &record.FieldError{Field: "date", Value: pin.On.String(), Want: "a day that is not blocked: you are busy or away then"}
	}
	return nil
}
