package busycal

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/plan"
	"limekeep/schedule/recur"
)

// expansion turns the events of a file into busy times.
type expansion struct {
	ctx       context.Context
	within    plan.Busy
	zone      *time.Location // of the place
	stepsLeft int            // of the whole file
}

// Bounds to what is followed of recurrences (recur.Budget). A day each for ten
// years is 4,000 steps; a plan of eighteen months of every hour is 30,000.
const (
	mostStepsOfEvent = 400_000
	mostStepsOfFile  = 40_000_000
)

// busy returns the busy times of a calendar's events.
func (x *expansion) busy(events []goical.Event) ([]plan.Busy, error) {
	moved := map[string][]time.Time{} // by UID: the occurrences that have an event of their own
	for _, e := range events {
		placeTimes(e)
		if p := e.Props.Get(goical.PropRecurrenceID); p != nil {
			at, err := p.DateTime(x.zone)
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
		found, err := x.occurrences(e, moved[uidOf(e)])
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
func (x *expansion) occurrences(e goical.Event, moved []time.Time) ([]plan.Busy, error) {
	start, err := e.DateTimeStart(x.zone)
	if err != nil {
		return nil, err
	}
	end, err := e.DateTimeEnd(x.zone)
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
	set := recur.Set{Start: start}
	if e.Props.Get(goical.PropRecurrenceID) == nil {
		if set, err = x.recurrence(e, start, moved); err != nil {
			return nil, err
		}
	}
	// What begins before the plan can reach into it; a day that lost an hour as well.
	begins := recur.Window{From: x.within.From.Add(-end.Sub(start) - 25*time.Hour), To: x.within.To}
	starts, err := x.expand(set, begins)
	if err != nil {
		return nil, err
	}
	var busy []plan.Busy
	for _, from := range starts {
		if b := (plan.Busy{From: from, To: lasts(from)}); b.To.After(x.within.From) {
			busy = append(busy, b)
		}
	}
	return busy, nil
}

// recurrence reads when an event begins.
func (x *expansion) recurrence(e goical.Event, start time.Time, moved []time.Time) (recur.Set, error) {
	set := recur.Set{Start: start, Except: moved}
	if p := e.Props.Get(goical.PropRecurrenceRule); p != nil {
		rule, err := recur.ParseRule(p.Value)
		if err != nil {
			return set, err
		}
		set.Rule = &rule
	}
	for name, dates := range map[string]*[]time.Time{goical.PropRecurrenceDates: &set.Dates, goical.PropExceptionDates: &set.Except} {
		for i := range e.Props[name] {
			at, err := e.Props[name][i].DateTime(x.zone)
			if err != nil {
				return set, err
			}
			*dates = append(*dates, at)
		}
	}
	return set, nil
}

// expand follows a recurrence as far as the bounds allow.
func (x *expansion) expand(set recur.Set, w recur.Window) ([]time.Time, error) {
	most := min(mostStepsOfEvent, x.stepsLeft)
	budget := recur.NewBudget(most)
	starts, err := set.In(x.ctx, w, budget)
	x.stepsLeft -= most - budget.Left()
	tooMany := errors.Is(err, recur.ErrTooLong) || len(starts) > mostOccurrences
	switch {
	case tooMany && set.Rule != nil && set.Rule.Freq > recur.Hourly:
		return nil, errors.New("it recurs more often than every hour, which no engagement does")
	case tooMany && most < mostStepsOfEvent:
		return nil, errors.New("there is too much in this calendar that recurs; give one with fewer events, such as this year's")
	case tooMany:
		return nil, fmt.Errorf("it recurs more than %d times within the plan, or from too long ago to be counted", mostOccurrences)
	}
	return starts, err
}

func eventError(e goical.Event, err error) error {
	name := uidOf(e)
	if p := e.Props.Get(goical.PropSummary); p != nil && p.Value != "" {
		name = p.Value
	}
	return fmt.Errorf("the event %q cannot be read: %w", name, err)
}
