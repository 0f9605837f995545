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
	entry, pin, err := j.pin(ctx, before, task, move, to)
	if err != nil {
		return day.Moved{}, err
	}
	if d, err = d.After(ctx, entry); err != nil {
		return day.Moved{}, err
	}
	after, err := d.Forecast(ctx)
	if err != nil {
		return day.Moved{}, err
	}
	moved := after.Positions().Moved(pin.Task, before.Positions().DayOf(pin.Task))
	moved.Record = entry.ID
	return moved, nil
}

// Pin pins the next turn of a task by a forecast that may be older than the day, so
// that it is done at once; what it risks says the forecast that follows. Where the
// task was done since that forecast, the day's own is waited for.
func (j *Journal) Pin(ctx context.Context, d *day.Day, by *day.Forecast, task string, move day.Move, to record.Date) (int64, error) {
	x, err := by.Outcome(task)
	if err != nil {
		return 0, err
	}
	if last, _ := day.LastService(d.Book, x.Duty); last.ID != x.Served { // 0 where it never was
		if by, err = d.Forecast(ctx); err != nil {
			return 0, err
		}
	}
	entry, _, err := j.pin(ctx, by, task, move, to)
	return entry.ID, err
}

func (j *Journal) pin(ctx context.Context, by *day.Forecast, task string, move day.Move, to record.Date) (record.Entry, record.Pin, error) {
	pin, err := by.Positions().Pin(task, move, to)
	if err != nil {
		return record.Entry{}, pin, err
	}
	entry := j.entry(by.Day.Place.ID, by.Day.Today, pin)
	ids, err := j.Days.Records.Append(ctx, entry)
	if err != nil {
		return record.Entry{}, pin, err
	}
	entry.ID = ids[0]
	return entry, pin, nil
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
