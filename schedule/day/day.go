package day

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/score"
)

// Day is a place on one day with all that was known of it by then. Its methods
// look things up; what takes a forecast is asked of a Forecast. A day is shared
// between requests, so nobody changes what it holds.
type Day struct {
	Place  record.Place
	Today  record.Date
	Zone   *time.Location // of the place
	Book   *record.Book
	Duties []care.Duty // all, those that rest among them

	opener *Opener
	key    dayKey
	clock  *time.Location // that said which day it is; nil where the day was named

	mu       sync.Mutex
	forecast *Forecast // nil until it is asked for
	scored   func() score.Score
	booked   func() []bookedTask
	flight   *flight // of the forecast that is being worked out; nil for none
}

// BeforeSetUpError says that a place was not set up yet on a day: that the day asked
// about is too early, or the clock is wrong.
type BeforeSetUpError struct {
	Place string
	Today record.Date
}

// Error says so, and what to do.
func (e *BeforeSetUpError) Error() string {
	return fmt.Sprintf("on %s nothing was set up yet at %s: ask about a later day", e.Today, e.Place)
}

func newDay(o *Opener, key dayKey, book *record.Book) (*Day, error) {
	place, ok := book.Place()
	if !ok {
		return nil, &BeforeSetUpError{Place: key.place, Today: key.today}
	}
	zone, err := place.Location()
	if err != nil {
		return nil, err
	}
	d := &Day{Place: place, Today: key.today, Zone: zone, Book: book, Duties: dutiesOf(book, key.catalogue), opener: o, key: key}
	d.scored = sync.OnceValue(d.score)
	d.booked = sync.OnceValue(d.bookedTasks)
	return d, nil
}

// Moment returns the place and the day that were opened.
func (d *Day) Moment() schedule.Moment { return schedule.Moment{Place: d.Place.ID, Today: d.Today} }

// Version returns the version of the records that the day was read from.
func (d *Day) Version() int64 { return d.key.version }

// Catalogue returns the catalogue of care that the day's duties are from.
func (d *Day) Catalogue() *care.Catalogue { return d.key.catalogue }

// Spell spells what can be done next, as the door does that opened the day.
func (d *Day) Spell(a schedule.Action) string { return d.opener.Spell.Spell(a) }

// Quote spells what can be done next for a sentence.
func (d *Day) Quote(a schedule.Action) string { return d.opener.Spell.Quote(a) }

// After returns the same day once entries with these numbers have been written
// down. Unless somebody else wrote meanwhile, no book is read for it.
func (d *Day) After(ctx context.Context, entries ...record.Entry) (*Day, error) {
	version, err := d.opener.Records.Version(ctx)
	if err != nil {
		return nil, err
	}
	drawn := slices.ContainsFunc(entries, func(e record.Entry) bool { return e.Kind() == record.KindUse }) // whose days are in the records
	if drawn || version != d.key.version+int64(len(entries)) {
		return d.opener.Open(ctx, d.Moment())
	}
	key := d.key
	key.version = version
	next, err := newDay(d.opener, key, record.NewBook(d.Today, append(slices.Clone(d.Book.Entries), entries...), d.Book.Days))
	if err != nil {
		return nil, err
	}
	next.clock = d.clock
	d.opener.keep(next)
	return next, nil
}

// Duty finds a duty of the day by its id, or by a run of whole parts of it that
// no other duty has. A name that stands for none, or for several, is an error that
// matches record.ErrUnknown.
func (d *Day) Duty(name string) (care.Duty, error) { return findDuty(d.Duties, name) }
