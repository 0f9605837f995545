package schedule

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// Desk is where the doors bring their questions and what they have to write
// down. It keeps nothing itself: every answer is worked out from the records.
type Desk struct {
	Records   Records
	Catalogue *care.Catalogue
	Worlds    int              // how many worlds a forecast draws; DefaultWorlds where 0
	Now       func() time.Time // the clock, for stamping what is entered
	Source    string           // the door: "command", "page"

	PlanEffort int  // how many steps the search for a plan may take; usual where 0
	PlanMonths int  // how far ahead sittings are planned; DefaultPlanMonths where 0
	Routine    bool // whether the calendar shows the daily routine, as one entry that recurs

	// Busy gives the owner's own engagements within a time, in a zone for those
	// that name none; nil for none.
	Busy func(ctx context.Context, within plan.Busy, zone *time.Location) ([]plan.Busy, error)

	memory     wear.Memory // water tests already worked out
	recall     recall      // the outlook worked out last
	publishing sync.Mutex  // one publication at a time, so that each follows on the one before
}

// DefaultWorlds settles the 10, 50 and 90 % points to about a week in a year.
const DefaultWorlds = 1000

// Moment is the place and the day that a question is about.
type Moment struct {
	Place string      // id; the only place where empty
	Today record.Date // the place's own today where zero

	Source string // the door that records come in by; the desk's own where empty
}

// ErrNoPlace says that nothing was set up yet.
var ErrNoPlace = errors.New("no place is set up yet: write a place file and give it to `limekeep setup`")

// Settle fills in what a moment leaves open: the only place there is, and the
// date on the clock of that place.
func (d *Desk) Settle(ctx context.Context, m Moment) (Moment, error) {
	places, err := d.Records.Places(ctx)
	if err != nil {
		return m, err
	}
	switch {
	case len(places) == 0:
		return m, ErrNoPlace
	case m.Place == "" && len(places) == 1:
		m.Place = places[0]
	case m.Place == "":
		return m, &record.FieldError{Field: "place", Want: fmt.Sprintf("one of %v, since there is more than one", places)}
	case !slices.Contains(places, m.Place):
		return m, &record.UnknownError{What: "place", Name: m.Place, Known: places}
	}
	if m.Today.IsZero() {
		// Any date far ahead finds the newest version of the place, whose zone
		// says which date it is there now.
		book, err := d.Records.Read(ctx, m.Place, endOfTime)
		if err != nil {
			return m, err
		}
		place, ok := book.Place()
		if !ok {
			return m, ErrNoPlace
		}
		zone, err := place.Location()
		if err != nil {
			return m, err
		}
		m.Today = record.DateOf(d.Now().In(zone))
	}
	return m, nil
}

// endOfTime lies after every date that can be written down.
var endOfTime = record.NewDate(9999, time.December, 31)

// open reads the book of a moment and its place.
func (d *Desk) open(ctx context.Context, m Moment) (*record.Book, record.Place, Moment, error) {
	m, err := d.Settle(ctx, m)
	if err != nil {
		return nil, record.Place{}, m, err
	}
	book, err := d.Records.Read(ctx, m.Place, m.Today)
	if err != nil {
		return nil, record.Place{}, m, err
	}
	place, ok := book.Place()
	if !ok {
		return nil, record.Place{}, m, fmt.Errorf("on %s nothing was set up yet at %s: ask about a later day", m.Today, m.Place)
	}
	return book, place, m, nil
}

// entry makes a record of the moment's place.
func (d *Desk) entry(m Moment, effective record.Date, body record.Body) record.Entry {
	return record.Entry{
		Place:     m.Place,
		Effective: effective,
		Entered:   d.Now().UTC().Truncate(time.Second),
		Source:    cmp.Or(m.Source, d.Source),
		Body:      body,
	}
}

// notLater checks that a day somebody wrote down has come.
func notLater(field string, on, today record.Date) error {
	if on > today {
		return &record.FieldError{Field: field, Value: on.String(), Want: fmt.Sprintf("a day not after today, %s", today)}
	}
	return nil
}

// notBefore checks that a day does not lie before the equipment was bought.
func notBefore(field string, on record.Date, e record.Equipment) error {
	if on < e.Bought {
		return &record.FieldError{Field: field, Value: on.String(), Want: fmt.Sprintf("a day not before %s was bought, %s", e.ID, e.Bought)}
	}
	return nil
}

// Zone gives the time zone of a moment's place.
func (d *Desk) Zone(ctx context.Context, m Moment) (*time.Location, error) {
	_, place, _, err := d.open(ctx, m)
	if err != nil {
		return nil, err
	}
	return place.Location()
}
