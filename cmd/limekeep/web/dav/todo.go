package dav

import (
	"context"
	"slices"
	"time"

	"github.com/emersion/go-ical"
)

// todo is a VTODO with its times read. One object can hold several: a to-do
// that recurs and those of its occurrences that were changed.
type todo struct {
	*ical.Component
	start, due         instant
	completed, created instant
	instead            instant // RECURRENCE-ID: which occurrence this one stands for
	duration           time.Duration
	hasDuration        bool
	recurrence         *recurrence // nil where it happens once
	alarms             []alarm
}

// occurrence is one time that a to-do is to be done. Times that it has not got
// are zero.
type occurrence struct {
	start, due, completed, created time.Time
	duration                       time.Duration
	hasDuration                    bool
}

// end returns the effective DUE (RFC 4791, 9.9).
func (o occurrence) end() time.Time {
	if o.due.IsZero() && o.hasDuration && !o.start.IsZero() {
		return o.start.Add(o.duration)
	}
	return o.due
}

func todosOf(cal *ical.Calendar, z *zones) []*todo {
	var all []*todo
	var replaced []instant
	for _, c := range cal.Children {
		if c.Name != ical.CompToDo {
			continue
		}
		t := &todo{
			Component: c,
			start:     instantOf(c.Props.Get(ical.PropDateTimeStart), z),
			due:       instantOf(c.Props.Get(ical.PropDue), z),
			completed: instantOf(c.Props.Get(ical.PropCompleted), z),
			created:   instantOf(c.Props.Get(ical.PropCreated), z),
		}
		if p := c.Props.Get(ical.PropDuration); p != nil {
			// Days of a duration are taken as 24 hours, also over a clock change.
			if duration, err := p.Duration(); err == nil {
				t.duration, t.hasDuration = duration, true
			}
		}
		for _, child := range c.Children {
			if child.Name == ical.CompAlarm {
				t.alarms = append(t.alarms, alarmOf(child, z))
			}
		}
		if t.instead = instantOf(c.Props.Get(ical.PropRecurrenceID), z); t.instead.known() {
			replaced = append(replaced, t.instead)
		} else {
			t.recurrence = recurrenceOf(t, z)
		}
		all = append(all, t)
	}
	for _, t := range all {
		if t.recurrence != nil {
			t.recurrence.except = append(t.recurrence.except, replaced...)
		}
	}
	return all
}

// first returns the to-do as it stands, which of one that recurs is its first
// occurrence.
func (t *todo) first(zone *time.Location) occurrence {
	resolve := func(i instant) time.Time {
		if !i.known() {
			return time.Time{}
		}
		return i.in(zone)
	}
	return occurrence{
		start: resolve(t.start), due: resolve(t.due),
		completed: resolve(t.completed), created: resolve(t.created),
		duration: t.duration, hasDuration: t.hasDuration,
	}
}

// anchor is what recurs: the start, or where an app gave none, when it is due.
func (t *todo) anchor() instant {
	if t.start.known() {
		return t.start
	}
	return t.due
}

// any reports whether an occurrence matches, among those that begin within a range
// or so near to it that they reach into it: reach is how much farther from it than
// the to-do is long. Of a rule that cannot be followed (see recurrence) every
// occurrence is taken to match: an app that gets a to-do too many looks for itself,
// one that gets one too few does not know.
func (t *todo) any(ctx context.Context, zone *time.Location, r *timeRange, reach time.Duration, match func(occurrence) bool) bool {
	first := t.first(zone)
	if t.recurrence == nil {
		return match(first)
	}
	anchor := t.anchor().in(zone)
	starts, ok := t.recurrence.begins(ctx, anchor, zone, r.widened(first.length()+reach))
	if !ok {
		return r.until(anchor)
	}
	return slices.ContainsFunc(starts, func(at time.Time) bool { return match(first.moved(anchor, at)) })
}

// length returns how long an occurrence takes, at most.
func (o occurrence) length() time.Duration {
	long := o.duration.Abs()
	if !o.start.IsZero() && !o.due.IsZero() {
		long = max(long, o.due.Sub(o.start).Abs())
	}
	return long
}

// moved returns the occurrence that begins at a time instead of at an anchor. When
// a to-do was made and done does not move.
func (o occurrence) moved(anchor, at time.Time) occurrence {
	if !o.start.IsZero() {
		o.start = at.Add(o.start.Sub(anchor))
	}
	if !o.due.IsZero() {
		o.due = at.Add(o.due.Sub(anchor))
	}
	return o
}
