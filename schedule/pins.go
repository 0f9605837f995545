package schedule

import (
	"context"
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

// Moved tells what became of a move, and what it risks.
type Moved struct {
	Record int64        `json:"record"`
	Task   string       `json:"task"`
	From   *record.Date `json:"from"` // where it stood; null for nowhere
	To     *record.Date `json:"to"`   // where it stands now; null for nowhere
	Late   *record.Date `json:"late"` // its late date; null beyond the horizon
	Before float64      `json:"risk_before"`
	After  float64      `json:"risk"` // probability that its limit is passed by then
	Says   string       `json:"says"`
}

// MoveTask pins the next turn of a task, and says what that risks.
func (d *Desk) MoveTask(ctx context.Context, m Moment, task string, move Move, to record.Date) (Moved, error) {
	o, err := d.look(ctx, m)
	if err != nil {
		return Moved{}, err
	}
	x, err := o.outcome(task)
	if err != nil {
		return Moved{}, err
	}
	if routine(o, x) {
		return Moved{}, &record.FieldError{Field: "task", Value: task, Want: "a task that has a sitting: this one belongs to the routine"}
	}
	var from record.Date
	if sitting, _, ok := o.plan.Next(x.Duty.ID); ok {
		from = sitting.Date()
	}
	pin := record.Pin{Task: x.Duty.ID, Served: x.Served}
	switch move {
	case MoveTo:
		pin.On = to
	case MoveFree:
		pin.Free = true
	default:
		if from.IsZero() {
			return Moved{}, &record.FieldError{Field: "task", Value: task, Want: "a task that has a sitting, or a day to move it to"}
		}
		switch move {
		case MoveFix:
			pin.On = from
		case MoveNext:
			for _, s := range o.request.Slots {
				if s.Date() > from && pin.On.IsZero() {
					pin.On = s.Date()
				}
			}
			if pin.On.IsZero() {
				return Moved{}, &record.FieldError{Field: "task", Value: task, Want: "a day: no slot is left after " + from.Long()}
			}
		case MoveSkip:
			pin.After = from
		}
	}
	if err := checkPin(o, pin); err != nil {
		return Moved{}, err
	}
	written, err := d.write(ctx, o.moment, o.moment.Today, pin, "")
	if err != nil {
		return Moved{}, err
	}
	return d.moved(ctx, o, written.Record, x.Duty.ID, from)
}

// checkPin sees that a day can be had.
func checkPin(o *outlook, pin record.Pin) error {
	if err := pin.Validate(); err != nil {
		return err
	}
	if pin.On.IsZero() {
		return nil
	}
	last := o.request.Until - 1
	if pin.On < o.moment.Today || pin.On > last {
		return &record.FieldError{Field: "date", Value: pin.On.String(), Want: fmt.Sprintf("a day from today, %s, to the end of the plan, %s", o.moment.Today, last)}
	}
	busy, err := busyOf(o, last)
	if err != nil {
		return err
	}
	slots, err := plan.Slots(o.place, pin.On, pin.On)
	if err != nil {
		return err
	}
	if len(slots) == 0 {
		added, err := plan.SlotOn(o.place, pin.On)
		if err != nil {
			return err
		}
		slots = append(slots, added)
	}
	if len(plan.Free(slots, busy)) == 0 {
		return &record.FieldError{Field: "date", Value: pin.On.String(), Want: "a day that is not blocked: you are busy or away then"}
	}
	return nil
}

// moved looks again, and tells what the move did.
func (d *Desk) moved(ctx context.Context, was *outlook, id int64, task string, from record.Date) (Moved, error) {
	o, err := d.look(ctx, was.moment)
	if err != nil {
		return Moved{}, err
	}
	moved := Moved{Record: id, Task: task, From: dateOrNil(from)}
	for i := range o.request.Tasks {
		t := &o.request.Tasks[i]
		if t.ID != task {
			continue
		}
		moved.Late = dateOrNil(t.Late)
		if from != 0 {
			moved.Before = cents(t.Risk(from))
		}
		sitting, _, ok := o.plan.Next(task)
		if !ok {
			moved.Says = fmt.Sprintf("It has no sitting up to %s.", (o.request.Until - 1).Long())
			break
		}
		to := sitting.Date()
		moved.To, moved.After = &to, cents(t.Risk(to))
		moved.Says = fmt.Sprintf("It is planned for %s; %.0f %% chance that its limit is passed by then", to.Long(), 100*moved.After)
		if from != 0 && from != to {
			moved.Says += fmt.Sprintf(", instead of %.0f %% on %s", 100*moved.Before, from.Long())
		}
		if t.Late != 0 && to > t.Late {
			moved.Says += fmt.Sprintf("; that is after its late date, %s", t.Late.Long())
		}
		moved.Says += "."
	}
	return moved, nil
}

// Block writes down days on which the owner wants no sitting.
func (d *Desk) Block(ctx context.Context, m Moment, b record.Blocked) (Written, error) {
	_, _, m, err := d.open(ctx, m)
	if err != nil {
		return Written{}, err
	}
	if b.To.IsZero() {
		b.To = b.From
	}
	if err := b.Validate(); err != nil {
		return Written{}, err
	}
	if b.To < m.Today {
		return Written{}, &record.FieldError{Field: "date", Value: b.To.String(), Want: fmt.Sprintf("a day not before today, %s", m.Today)}
	}
	return d.write(ctx, m, m.Today, b, fmt.Sprintf("no sittings from %s to %s", b.From, b.To))
}
