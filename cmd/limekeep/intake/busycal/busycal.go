// Package busycal reads from a calendar of the owner's own when its owner is
// busy, so that nothing is planned there.
package busycal

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// FromFile returns a function that reads the owner's own calendar file each time a plan is
// made; nil where the settings name none.
func FromFile(path string) func(context.Context, plan.Busy, *time.Location) ([]plan.Busy, error) {
	if path == "" {
		return nil
	}
	return func(_ context.Context, within plan.Busy, zone *time.Location) ([]plan.Busy, error) {
		file, err := os.Open(path)
		if err != nil {
			return nil, fmt.Errorf("busy: your calendar file cannot be read: %w", err)
		}
		defer file.Close()
		busy, err := Read(file, within, zone)
		if err != nil {
			return nil, fmt.Errorf("busy: %s: %w", path, err)
		}
		return busy, nil
	}
}

// mostBusyBytes bounds a calendar file; ten years of a busy person have less.
const mostBusyBytes = 32 << 20

// ownUIDs end the identities of the program's own entries, which keep nobody
// from the work they stand for.
const ownUIDs = "@limekeep"

// Read reads the busy times within a time from a calendar (RFC 5545): its
// events, with all that recur, but for those cancelled or marked as free
// (TRANSP). Times without a zone, or in one that the IANA database does not
// know, are read on the clock of the place.
func Read(r io.Reader, within plan.Busy, zone *time.Location) (busy []plan.Busy, err error) {
	// The calendar library gives up on some broken lines by a panic; a broken
	// file must not take the program with it.
	defer func() {
		if broken := recover(); broken != nil {
			busy, err = nil, fmt.Errorf("not a calendar file (iCalendar): a line is broken (%v)", broken)
		}
	}()
	limited := &io.LimitedReader{R: r, N: mostBusyBytes + 1}
	decoder := goical.NewDecoder(limited)
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
			return nil, fmt.Errorf("not a calendar file (iCalendar): %w", err)
		}
		found, err := busyOf(cal.Events(), within, zone)
		if err != nil {
			return nil, err
		}
		busy = append(busy, found...)
	}
}

func busyOf(events []goical.Event, within plan.Busy, zone *time.Location) ([]plan.Busy, error) {
	moved := map[string][]time.Time{} // by UID: the occurrences that have an event of their own
	for _, e := range events {
		placeTimes(e)
		if p := e.Props.Get(goical.PropRecurrenceID); p != nil {
			at, err := p.DateTime(zone)
			if err != nil {
				return nil, eventError(e, err)
			}
			moved[uidOf(e)] = append(moved[uidOf(e)], at)
		}
	}
	var busy []plan.Busy
	for _, e := range events {
		if free(e) {
			continue
		}
		found, err := occurrences(e, moved[uidOf(e)], within, zone)
		if err != nil {
			return nil, eventError(e, err)
		}
		busy = append(busy, found...)
	}
	return busy, nil
}

// free reports whether an event keeps nobody busy.
func free(e goical.Event) bool {
	word := func(name string) string {
		if p := e.Props.Get(name); p != nil {
			return strings.ToUpper(strings.TrimSpace(p.Value))
		}
		return ""
	}
	return word(goical.PropStatus) == "CANCELLED" || word(goical.PropTransparency) == "TRANSPARENT" || strings.HasSuffix(uidOf(e), ownUIDs)
}

func uidOf(e goical.Event) string {
	if p := e.Props.Get(goical.PropUID); p != nil {
		return p.Value
	}
	return ""
}

// placeTimes takes out zones that are not known, and gives every date in a list
// of exceptions a property of its own, which is how they are read.
func placeTimes(e goical.Event) {
	for _, name := range []string{goical.PropDateTimeStart, goical.PropDateTimeEnd, goical.PropRecurrenceID, goical.PropExceptionDates, goical.PropRecurrenceDates} {
		var single []goical.Prop
		for _, p := range e.Props[name] {
			if id := p.Params.Get(goical.ParamTimezoneID); id != "" {
				if _, err := time.LoadLocation(id); err != nil || id == "Local" {
					p.Params.Del(goical.ParamTimezoneID)
				}
			}
			for value := range strings.SplitSeq(p.Value, ",") {
				value, _, _ = strings.Cut(value, "/") // of a period, its start
				one := p
				one.Value = strings.TrimSpace(value)
				if one.ValueType() == goical.ValuePeriod {
					one.Params = goical.Params{}
					if id := p.Params.Get(goical.ParamTimezoneID); id != "" {
						one.Params.Set(goical.ParamTimezoneID, id)
					}
				}
				single = append(single, one)
			}
		}
		if len(single) > 0 {
			e.Props[name] = single
		}
	}
}

// mostOccurrences bounds what one event can come to within a plan.
const mostOccurrences = 20_000

// occurrences returns the busy times of an event, each of those that recur but
// for the ones moved elsewhere.
func occurrences(e goical.Event, moved []time.Time, within plan.Busy, zone *time.Location) ([]plan.Busy, error) {
	start, err := e.DateTimeStart(zone)
	if err != nil {
		return nil, err
	}
	end, err := e.DateTimeEnd(zone)
	if err != nil {
		return nil, err
	}
	if start.IsZero() || end.Before(start) {
		return nil, errors.New("it ends before it starts, or has no start (DTSTART)")
	}
	lasts := func(from time.Time) time.Time { return from.Add(end.Sub(start)) }
	if p := e.Props.Get(goical.PropDateTimeStart); len(p.Value) == len("20060102") {
		// Whole days keep to the days, also where clocks change.
		days := int(math.Round(end.Sub(start).Hours() / 24))
		lasts = func(from time.Time) time.Time { return from.AddDate(0, 0, days) }
	}
	starts := []time.Time{start}
	if e.Props.Get(goical.PropRecurrenceRule) != nil && e.Props.Get(goical.PropRecurrenceID) == nil {
		if starts, err = recurring(e, within, end.Sub(start), zone); err != nil {
			return nil, err
		}
	}
	for i := range e.Props[goical.PropRecurrenceDates] {
		at, err := e.Props[goical.PropRecurrenceDates][i].DateTime(zone)
		if err != nil {
			return nil, err
		}
		starts = append(starts, at)
	}
	var busy []plan.Busy
	for _, from := range starts {
		if e.Props.Get(goical.PropRecurrenceID) == nil && slices.ContainsFunc(moved, from.Equal) {
			continue
		}
		b := plan.Busy{From: from, To: lasts(from)}
		if b.To.After(within.From) && b.From.Before(within.To) {
			busy = append(busy, b)
		}
	}
	return busy, nil
}

// recurring lists when an event that recurs starts, within a time or so shortly
// before that it reaches into it.
func recurring(e goical.Event, within plan.Busy, length time.Duration, zone *time.Location) ([]time.Time, error) {
	rule := strings.ToUpper(e.Props.Get(goical.PropRecurrenceRule).Value)
	if strings.Contains(rule, "FREQ=SECONDLY") || strings.Contains(rule, "FREQ=MINUTELY") {
		return nil, errors.New("it recurs more often than every hour, which no engagement does")
	}
	set, err := e.RecurrenceSet(zone)
	if err != nil {
		return nil, err
	}
	var starts []time.Time
	next := set.Iterator()
	for range 1_000_000 {
		at, ok := next()
		if !ok || !at.Before(within.To) {
			return starts, nil
		}
		if at.Add(length + 25*time.Hour).Before(within.From) { // a day that lost an hour counts as well
			continue
		}
		if starts = append(starts, at); len(starts) > mostOccurrences {
			break
		}
	}
	return nil, fmt.Errorf("it recurs more than %d times within the plan", mostOccurrences)
}

func eventError(e goical.Event, err error) error {
	name := uidOf(e)
	if p := e.Props.Get(goical.PropSummary); p != nil && p.Value != "" {
		name = p.Value
	}
	return fmt.Errorf("the event %q cannot be read: %w", name, err)
}
