package day

import (
	"context"
	"slices"

	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// OutcomesWithout returns what would be expected of the day's duties had one record
// never been written, for what that record changed. It is worked out each time, one
// forecast at a time as all are.
func (d *Day) OutcomesWithout(ctx context.Context, id int64) ([]wear.Outcome, error) {
	before, err := d.without(id)
	if err != nil {
		return nil, err
	}
	if err := d.opener.turn(ctx); err != nil {
		return nil, err
	}
	defer d.opener.turnOver()
	return wear.Forecast(ctx, before.Household())
}

// without returns the same day as it would be had one record never been written.
func (d *Day) without(id int64) (*Day, error) {
	entries := slices.DeleteFunc(slices.Clone(d.Book.Entries), func(e record.Entry) bool { return e.ID == id })
	days := slices.DeleteFunc(slices.Clone(d.Book.Days), func(u record.UseDay) bool { return u.Record == id })
	key := d.key
	key.courses = false // dates are compared, not pictures
	return newDay(d.opener, key, record.NewBook(d.Today, entries, days))
}

// Entry returns a record of the day's book; false where the book has none of that
// number, or it was voided.
func (d *Day) Entry(id int64) (record.Entry, bool) {
	k := slices.IndexFunc(d.Book.Entries, func(e record.Entry) bool { return e.ID == id })
	if k < 0 {
		return record.Entry{}, false
	}
	return d.Book.Entries[k], true
}
