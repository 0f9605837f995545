package dav

import (
	"strings"
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

// end gives the effective DUE (RFC 4791, 9.9).
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

// first gives the to-do as it stands, which of one that recurs is its first
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

// any tells whether an occurrence matches that begins before a time, which is
// zero where the question is open. Of a rule that cannot be followed (see
// recurrence) every occurrence is taken to match: an app that gets a to-do too
// many looks for itself, one that gets one too few does not know.
func (t *todo) any(zone *time.Location, from, before time.Time, match func(occurrence) bool) bool {
	first := t.first(zone)
	if t.recurrence == nil {
		return match(first)
	}
	anchor := t.anchor().in(zone)
	times, followed := t.recurrence.times(anchor, zone, from, before)
	if !followed {
		return before.IsZero() || anchor.Before(before)
	}
	n := 0
	for at := range times {
		if n++; n > mostOccurrences {
			return true
		}
		if match(first.moved(at.Sub(anchor))) {
			return true
		}
	}
	return false
}

// moved gives the occurrence a while later. When a to-do was made and done does
// not move.
func (o occurrence) moved(by time.Duration) occurrence {
	if !o.start.IsZero() {
		o.start = o.start.Add(by)
	}
	if !o.due.IsZero() {
		o.due = o.due.Add(by)
	}
	return o
}

// alarm is a VALARM with its trigger read (RFC 5545, 3.8.6.3).
type alarm struct {
	*ical.Component
	at       instant // absolute; otherwise an offset
	offset   time.Duration
	fromEnd  bool
	valid    bool
	again    int // repetitions after the first
	interval time.Duration
}

// mostRepeats is how many repetitions of an alarm are looked at.
const mostRepeats = 1000

func alarmOf(c *ical.Component, z *zones) alarm {
	a := alarm{Component: c}
	trigger := c.Props.Get(ical.PropTrigger)
	if trigger == nil {
		return a
	}
	if a.at = instantOf(trigger, z); a.at.known() {
		a.valid = true
	} else {
		plain := *trigger
		plain.Params = nil // the library takes RELATED for no type, and a wrong VALUE for an error
		offset, err := plain.Duration()
		a.offset, a.valid = offset, err == nil
		a.fromEnd = strings.EqualFold(trigger.Params.Get(ical.ParamRelated), "END")
	}
	if repeat, interval := c.Props.Get(ical.PropRepeat), c.Props.Get(ical.PropDuration); repeat != nil && interval != nil {
		times, err := repeat.Int()
		every, err2 := interval.Duration()
		if err == nil && err2 == nil && times > 0 && every > 0 {
			a.again, a.interval = min(times, mostRepeats), every
		}
	}
	return a
}

// rings tells whether the alarm of an occurrence goes off in a range. One that
// is set from a start that is not there is set from when the to-do is due, as
// in the example of RFC 4791, 7.8.5.
func (a alarm) rings(o occurrence, zone *time.Location, r *timeRange) bool {
	if !a.valid {
		return false
	}
	at := a.at.in(zone)
	if !a.at.known() {
		from := o.start
		if a.fromEnd || from.IsZero() {
			from = o.end()
		}
		if from.IsZero() {
			return false
		}
		at = from.Add(a.offset)
	}
	for i := 0; i <= a.again; i++ {
		if r.holds(at) {
			return true
		}
		at = at.Add(a.interval)
	}
	return false
}
