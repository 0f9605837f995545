package journal

import (
	"context"
	"fmt"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// MoveTask pins the next turn of a task, and says what that risks.
func (j *Journal) MoveTask(ctx context.Context, d *day.Day, task string, move day.Move, to record.Date) (day.Moved, error) {
	before, err := d.Forecast(ctx)
	if err != nil {
		return day.Moved{}, err
	}
	pin, err := before.PinFor(task, move, to)
	if err != nil {
		return day.Moved{}, err
	}
	entry := j.entry(d.Place.ID, d.Today, pin)
	ids, err := j.Days.Records.Append(ctx, entry)
	if err != nil {
		return day.Moved{}, err
	}
	entry.ID = ids[0]
	if d, err = d.After(ctx, entry); err != nil {
		return day.Moved{}, err
	}
	after, err := d.Forecast(ctx)
	if err != nil {
		return day.Moved{}, err
	}
	moved := after.Moved(pin.Task, before.DayOf(pin.Task))
	moved.Record = entry.ID
	return moved, nil
}

// Block writes down days on which the owner wants no sitting.
func (j *Journal) Block(ctx context.Context, d *day.Day, b record.Blocked) (Receipt, error) {
	if b.To.IsZero() {
		b.To = b.From
	}
	if err := b.Validate(); err != nil {
		return Receipt{}, err
	}
	if b.To < d.Today {
		return Receipt{}, &record.FieldError{Field: "date", Value: b.To.String(), Want: fmt.Sprintf("a day not before today, %s", d.Today)}
	}
	return j.write(ctx, d, d.Today, b, fmt.Sprintf("no sittings from %s to %s", b.From, b.To))
}
