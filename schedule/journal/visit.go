package journal

import (
	"context"
	"fmt"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// BookVisit writes down that somebody comes, when and for what, by a forecast that may be
// older than the day. A task that another visit
// was booked for already is an error: that visit is moved or withdrawn.
func (j *Journal) BookVisit(ctx context.Context, d *day.Day, by *day.Forecast, v record.BookedVisit) (Receipt, error) {
	v.First = 0
	v, err := by.Visits().ToBook(d, v)
	if err != nil {
		return Receipt{}, err
	}
	if err := notBookedTwice(d, v, 0); err != nil {
		return Receipt{}, err
	}
	return j.write(ctx, d, d.Today, v, visitSays(v))
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
