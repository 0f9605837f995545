package journal

import (
	"context"
	"fmt"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Booking is a visit that somebody wants to book, at the place of a day, by a forecast that
// may be older than the day.
type Booking struct {
	Day   *day.Day
	By    *day.Forecast
	Visit record.BookedVisit
}

// check completes the visit, and sees that it can be booked.
func (b Booking) check() (record.BookedVisit, error) {
	b.Visit.First = 0
	v, err := b.By.Visits().ToBook(b.Day, b.Visit)
	if err != nil {
		return v, err
	}
	return v, notBookedTwice(b.Day, v, 0)
}

// BookVisit writes down that somebody comes, when and for what, by a forecast that may be
// older than the day. A task that another visit
// was booked for already is an error: that visit is moved or withdrawn.
func (j *Journal) BookVisit(ctx context.Context, d *day.Day, by *day.Forecast, v record.BookedVisit) (Receipt, error) {
	v, err := Booking{d, by, v}.check()
	if err != nil {
		return Receipt{}, err
	}
	return j.write(ctx, d, d.Today, v, visitSays(v))
}

// BookVisits writes visits down, at one place or several, all of them or none. An error
// names the place.
func (j *Journal) BookVisits(ctx context.Context, all []Booking) ([]Receipt, error) {
	entries, receipts := make([]record.Entry, len(all)), make([]Receipt, len(all))
	for i, b := range all {
		v, err := b.check()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", b.Day.Place.ID, err)
		}
		entries[i], receipts[i] = j.entry(b.Day.Place.ID, b.Day.Today, v), Receipt{On: b.Day.Today, What: visitSays(v)}
	}
	ids, err := j.Days.Records.Append(ctx, entries...)
	if err != nil {
		return nil, err
	}
	for i, id := range ids {
		receipts[i].Record = id
	}
	return receipts, nil
}

// notBookedTwice sees that no other visit to come is for one of the tasks.
func notBookedTwice(d *day.Day, v record.BookedVisit, but int64) error {
	for _, other := range d.BookedVisits() {
		if other.Record == but || other.Missed {
			continue
		}
		for _, turn := range other.Turns {
			if _, ok := v.Of(turn.Task); ok {
				return &record.FieldError{Field: "task", Value: turn.Task, Want: fmt.Sprintf("a task that nobody comes for yet: a visit on %s is for this one (record %d), which can be moved", other.On, other.Record)}
			}
		}
	}
	return nil
}

// MoveVisit writes down that a visit is on another day or at another time; what was to be
// done and by whom stays. Minutes of 0 stay as they are.
func (j *Journal) MoveVisit(ctx context.Context, d *day.Day, by *day.Forecast, id int64, to record.BookedVisit) (Receipt, error) {
	was, err := d.BookedVisit(id)
	if err != nil {
		return Receipt{}, err
	}
	to.First, to.Tasks = was.First, nil
	for _, task := range was.Tasks() {
		to.Tasks = append(to.Tasks, record.BookedTask{Task: task})
	}
	if to.By == "" {
		to.By = was.By
	}
	if to.Minutes == 0 {
		to.Minutes = was.Minutes
	}
	if to.Note == "" {
		to.Note = was.Note
	}
	if to, err = by.Visits().ToBook(d, to); err != nil {
		return Receipt{}, err
	}
	if err := notBookedTwice(d, to, id); err != nil {
		return Receipt{}, err
	}
	old, err := j.Days.Records.Find(ctx, id)
	if err != nil {
		return Receipt{}, err
	}
	place := d.Place.ID
	ids, err := j.Days.Records.Append(ctx,
		j.entry(place, old.Effective, record.Void{Record: id, Why: fmt.Sprintf("moved to %s at %s", to.On, to.At)}),
		j.entry(place, d.Today, to))
	if err != nil {
		return Receipt{}, err
	}
	return Receipt{Record: ids[len(ids)-1], On: d.Today, What: visitSays(to)}, nil
}

// WithdrawVisit writes down that nobody comes: its tasks go back to the plan. A visit that
// is not there is an error that matches record.ErrUnknown.
func (j *Journal) WithdrawVisit(ctx context.Context, d *day.Day, id int64, why string) (Receipt, error) {
	if _, err := d.BookedVisit(id); err != nil {
		return Receipt{}, err
	}
	return j.Void(ctx, d, id, why)
}

func visitSays(v record.BookedVisit) string { return fmt.Sprintf("visit on %s at %s", v.On, v.At) }
