package busycal

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// Kept keeps the calendars that owners bring or name an address of, and reads from them
// when they are busy. What was read is remembered until the calendar, or the time asked
// about, is another.
type Kept struct {
	Store schedule.OwnCalendarStore
	Now   func() time.Time // the clock

	// Fetch returns the calendar at an address; see Fetcher. Nil where nothing is fetched.
	Fetch func(ctx context.Context, address string) ([]byte, error)

	mu   sync.Mutex
	read map[string]kept // by place
}

// kept is what was read from a calendar.
type kept struct {
	version int64
	within  plan.Busy
	zone    string
	busy    []plan.Busy
	err     error
}

// Busy is a Source.
func (k *Kept) Busy(ctx context.Context, place string, within plan.Busy, zone *time.Location) ([]plan.Busy, error) {
	c, err := k.Store.OwnCalendar(ctx, place)
	switch {
	case err != nil || c.None():
		return nil, err
	case c.Taken.IsZero() && c.Wrong != "":
		return nil, errors.New(c.Wrong)
	case c.Taken.IsZero():
		return nil, errors.New("it was not fetched yet")
	}
	k.mu.Lock()
	defer k.mu.Unlock() // one at a time reads: it may take seconds
	was, ok := k.read[place]
	if ok && was.version == c.Version && was.within == within && was.zone == zone.String() {
		return was.busy, was.err
	}
	packed, err := k.Store.OwnCalendarText(ctx, place)
	if err != nil {
		return nil, err
	}
	busy, err := readPacked(ctx, packed, within, zone)
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	if k.read == nil {
		k.read = map[string]kept{}
	}
	k.read[place] = kept{c.Version, within, zone.String(), busy, err}
	return busy, err
}

func readPacked(ctx context.Context, packed []byte, within plan.Busy, zone *time.Location) ([]plan.Busy, error) {
	text, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, errors.New("what was kept of it is broken: bring it again")
	}
	return readPatiently(ctx, text, within, zone)
}

// MostBytes is how long a calendar can be.
const MostBytes = mostBusyBytes

// Bring keeps a calendar file in the place of the calendar before. One that cannot be
// read is refused and nothing is kept. within and zone are what its busy times will be
// asked about by.
func (k *Kept) Bring(ctx context.Context, place, name string, text []byte, within plan.Busy, zone *time.Location) error {
	if err := checked(ctx, text, within, zone); err != nil {
		return err
	}
	packed, err := pack(text)
	if err != nil {
		return err
	}
	return k.Store.SetOwnCalendar(ctx, place, schedule.OwnCalendar{Name: name, Taken: k.Now().UTC().Truncate(time.Second)}, packed)
}

// checked reports what is wrong with a calendar.
func checked(ctx context.Context, text []byte, within plan.Busy, zone *time.Location) error {
	_, err := readPatiently(ctx, bytes.NewReader(text), within, zone)
	var field *record.FieldError
	if err == nil || ctx.Err() != nil || errors.As(err, &field) {
		return err
	}
	return &record.FieldError{Field: "file", Value: err.Error(), Want: "a calendar (iCalendar), as calendar programs export it"}
}

func pack(text []byte) ([]byte, error) {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := w.Write(text); err != nil {
		return nil, err
	}
	err := w.Close()
	return b.Bytes(), err
}

// Name keeps an address in the place of the calendar before. It is fetched by Refresh.
func (k *Kept) Name(ctx context.Context, place, address string) error {
	if k.Fetch == nil {
		return &record.FieldError{Field: "address", Value: address, Want: "a file: nothing is fetched here"}
	}
	if _, err := parseAddress(address); err != nil {
		return err
	}
	// Nothing of the calendar before may stand for this one.
	if err := k.Store.SetOwnCalendar(ctx, place, schedule.OwnCalendar{}, nil); err != nil {
		return err
	}
	return k.Store.SetOwnCalendar(ctx, place, schedule.OwnCalendar{Address: address}, nil)
}

// Remove takes the calendar of a place away.
func (k *Kept) Remove(ctx context.Context, place string) error {
	return k.Store.SetOwnCalendar(ctx, place, schedule.OwnCalendar{}, nil)
}

// Refresh fetches the calendar of a place, if it has an address, and reports whether
// what is known of it has changed. What cannot be fetched or read is told with the
// calendar, and the text that was fetched before stays.
func (k *Kept) Refresh(ctx context.Context, place string) (changed bool, err error) {
	c, err := k.Store.OwnCalendar(ctx, place)
	if err != nil || c.Address == "" || k.Fetch == nil {
		return false, err
	}
	text, wrong := k.Fetch(ctx, c.Address)
	if wrong == nil {
		at := k.Now()
		wrong = checked(ctx, text, plan.Busy{From: at, To: at.AddDate(0, 18, 0)}, time.UTC)
	}
	if ctx.Err() != nil {
		return false, context.Cause(ctx)
	}
	now, err := k.Store.OwnCalendar(ctx, place)
	if err != nil || now.Version != c.Version {
		return false, err // another one was named meanwhile
	}
	if wrong != nil {
		if c.Wrong == wrong.Error() {
			return false, nil
		}
		c.Wrong = wrong.Error()
		return true, k.Store.SetOwnCalendar(ctx, place, c, nil)
	}
	packed, err := pack(text)
	if err != nil {
		return false, err
	}
	before, err := k.Store.OwnCalendarText(ctx, place)
	if err != nil || c.Wrong == "" && bytes.Equal(before, packed) {
		return false, err
	}
	c.Wrong, c.Taken = "", k.Now().UTC().Truncate(time.Second)
	return true, k.Store.SetOwnCalendar(ctx, place, c, packed)
}

// limitedText reads a text of at most MostBytes.
func limitedText(r io.Reader) ([]byte, error) {
	text, err := io.ReadAll(io.LimitReader(r, MostBytes+1))
	if err != nil {
		return nil, err
	}
	if len(text) > MostBytes {
		return nil, fmt.Errorf("it is longer than %d MiB", MostBytes>>20)
	}
	return text, nil
}
