package dav

import (
	"strings"
	"time"

	"github.com/emersion/go-ical"
)

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
		plain.Params = nil // go-ical takes RELATED for no type, and a wrong VALUE for an error
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

// reach returns how far from the to-do the alarm can go off.
func (a alarm) reach() time.Duration {
	if a.interval > farthest/mostRepeats {
		return farthest
	}
	return min(farthest, a.offset.Abs()+time.Duration(a.again)*a.interval)
}

// farthest bounds how far from a to-do an alarm is looked for.
const farthest = 50 * 365 * 24 * time.Hour

// rings reports whether the alarm of an occurrence goes off in a range. One that
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
