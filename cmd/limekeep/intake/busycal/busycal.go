// Package busycal reads from a calendar of the owner's own when its owner is
// busy, so that nothing is planned there.
package busycal

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/cmd/limekeep/foreign"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// Source returns the engagements of a place's owner within a time, in a zone for those
// that name none.
type Source func(ctx context.Context, place string, within plan.Busy, zone *time.Location) ([]plan.Busy, error)

// Together returns the engagements of all sources; nil where there is none. What one of
// them cannot give is an error of the whole.
func Together(sources ...Source) Source {
	sources = slices.DeleteFunc(slices.Clone(sources), func(s Source) bool { return s == nil })
	if len(sources) == 0 {
		return nil
	}
	return func(ctx context.Context, place string, within plan.Busy, zone *time.Location) ([]plan.Busy, error) {
		var all []plan.Busy
		for _, source := range sources {
			busy, err := source(ctx, place, within, zone)
			if err != nil {
				return nil, err
			}
			all = append(all, busy...)
		}
		return all, nil
	}
}

// FromFile returns a function that reads the owner's own calendar file each time a plan is
// made; nil where the settings name none.
func FromFile(path string) Source {
	if path == "" {
		return nil
	}
	return func(ctx context.Context, _ string, within plan.Busy, zone *time.Location) ([]plan.Busy, error) {
		if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
			return nil, fmt.Errorf("busy: %s is no regular file", path) // a pipe would be waited for
		}
		file, err := os.Open(path)
		if err != nil {
			return nil, fmt.Errorf("busy: your calendar file cannot be read: %s", foreign.InOurWords(err))
		}
		defer file.Close()
		busy, err := readPatiently(ctx, file, within, zone)
		if err != nil {
			return nil, fmt.Errorf("busy: %s: %w", path, err)
		}
		return busy, nil
	}
}

// readPatiently is Read, for as long as anybody waits.
func readPatiently(ctx context.Context, r io.Reader, within plan.Busy, zone *time.Location) ([]plan.Busy, error) {
	ctx, cancel := context.WithTimeoutCause(ctx, patience, errTooSlow)
	defer cancel()
	busy, err := Read(ctx, r, within, zone)
	if errors.Is(context.Cause(ctx), errTooSlow) {
		err = errTooSlow
	}
	return busy, err
}

// patience is how long a calendar file may take to be read (assumption).
const patience = 5 * time.Second

var errTooSlow = errors.New("it took longer than five seconds to read; give a smaller calendar, such as this year's")

// mostBusyBytes bounds a calendar file; ten years of a busy person have less.
const mostBusyBytes = 32 << 20

// ownUIDs end the identities of the program's own entries, which keep nobody
// from the work they stand for.
const ownUIDs = "@limekeep"

// byteOrderMark is what some programs write at the beginning of a text in UTF-8.
const byteOrderMark = "\uFEFF"

// Read reads the busy times within a time from a calendar (RFC 5545): its
// events, with all that recur, but for those cancelled or marked as free
// (TRANSP). Times without a zone, or in one that the IANA database does not
// know, are read on the clock of the place. A file whose events cannot be followed
// in a bounded number of steps is refused; the context ends it sooner.
func Read(ctx context.Context, r io.Reader, within plan.Busy, zone *time.Location) (busy []plan.Busy, err error) {
	// The calendar library gives up on some broken lines by a panic; a broken
	// file must not take the program with it.
	defer func() {
		if broken := recover(); broken != nil {
			busy, err = nil, errors.New("not a calendar file (iCalendar): a line of it is broken")
		}
	}()
	limited := &io.LimitedReader{R: r, N: mostBusyBytes + 1}
	text := bufio.NewReader(limited)
	if start, err := text.Peek(len(byteOrderMark)); err == nil && string(start) == byteOrderMark {
		_, _ = text.Discard(len(byteOrderMark))
	}
	decoder := goical.NewDecoder(text)
	expansion := &expansion{ctx: ctx, within: within, zone: zone, stepsLeft: mostStepsOfFile}
	for calendars := 0; ; calendars++ {
		cal, err := decoder.Decode()
		if limited.N <= 0 {
			return nil, &record.FieldError{Field: "file", Value: "more than 32 MiB", Want: "a smaller calendar, such as this year's"}
		}
		if errors.Is(err, io.EOF) && calendars > 0 {
			return busy, nil
		}
		if errors.Is(err, io.EOF) {
			return nil, &record.FieldError{Field: "file", Want: "a calendar (iCalendar): this one is empty"}
		}
		if err != nil {
			return nil, fmt.Errorf("not a calendar file (iCalendar): %s", foreign.InOurWords(err))
		}
		found, err := expansion.busy(cal.Events())
		if err != nil {
			return nil, err
		}
		busy = append(busy, found...)
	}
}
