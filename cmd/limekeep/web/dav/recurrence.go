package dav

import (
	"iter"
	"strings"
	"time"

	"github.com/emersion/go-ical"
	"github.com/teambition/rrule-go"
)

// recurrence says when a to-do is to be done again (RFC 5545, 3.8.5).
//
// The library's own recurrence set reads one date of an EXDATE only and takes
// RDATE from EXDATE, so the set is put together here.
type recurrence struct {
	rule   string    // empty where there are only dates
	more   []instant // RDATE
	except []instant // EXDATE, and occurrences that were changed
	odd    bool      // a rule that is not followed
}

// Bounds to what is followed of a rule. Nothing that is cared for by a calendar
// comes near; a rule that somebody sends to keep the server busy does.
const (
	mostRuleBytes   = 500
	mostTimesADay   = 48
	mostInterval    = 1000
	mostOccurrences = 20000
	mostYearsBack   = 50 // from what is asked about to the first occurrence
	mostYearsAhead  = 30 // looked at for the first match of an open question
)

func recurrenceOf(t *todo, z *zones) *recurrence {
	if !t.anchor().known() {
		return nil
	}
	r := &recurrence{
		more:   instantsOf(t.Props[ical.PropRecurrenceDates], z),
		except: instantsOf(t.Props[ical.PropExceptionDates], z),
	}
	rule := t.Props.Get(ical.PropRecurrenceRule)
	if rule == nil {
		if len(r.more) == 0 && len(r.except) == 0 {
			return nil
		}
		return r
	}
	r.rule = strings.ToUpper(rule.Value)
	r.odd = len(r.rule) > mostRuleBytes
	if !r.odd {
		option, err := rrule.StrToROption(r.rule)
		r.odd = err != nil || option.Freq > rrule.DAILY || option.Interval > mostInterval ||
			max(1, len(option.Byhour))*max(1, len(option.Byminute))*max(1, len(option.Bysecond)) > mostTimesADay
	}
	return r
}

// option reads the rule for a first occurrence, whose zone an UNTIL without one
// is in (RFC 5545, 3.3.10).
func (r *recurrence) option(anchor time.Time) (*rrule.ROption, error) {
	option, err := rrule.StrToROptionInLocation(r.rule, anchor.Location())
	if err != nil {
		return nil, err
	}
	option.Dtstart = anchor
	_, until, _ := strings.Cut(r.rule, "UNTIL=")
	if until, _, _ = strings.Cut(until, ";"); len(until) == len("20060102") {
		// A date is the last day on which the to-do can begin.
		option.Until = option.Until.AddDate(0, 0, 1).Add(-time.Second)
	}
	return option, nil
}

// times gives when the to-do begins, in order, up to a time or, where that is
// zero, for some years after what is asked about. It gives false where the rule
// is not followed.
func (r *recurrence) times(anchor time.Time, zone *time.Location, from, before time.Time) (iter.Seq[time.Time], bool) {
	if r.odd || from.Sub(anchor) > mostYearsBack*365*24*time.Hour {
		return nil, false
	}
	var set rrule.Set
	if r.rule != "" {
		option, err := r.option(anchor)
		if err != nil {
			return nil, false
		}
		last := before
		if last.IsZero() {
			last = anchor
			if from.After(anchor) {
				last = from
			}
			last = last.AddDate(mostYearsAhead, 0, 0)
		}
		if option.Until.IsZero() || option.Until.After(last) {
			option.Until = last
		}
		rule, err := rrule.NewRRule(*option)
		if err != nil {
			return nil, false
		}
		set.RRule(rule)
	} else {
		set.RDate(anchor)
	}
	for _, i := range r.more {
		set.RDate(i.in(zone))
	}
	for _, i := range r.except {
		set.ExDate(i.in(zone))
	}
	return func(yield func(time.Time) bool) {
		next := set.Iterator()
		for {
			at, ok := next()
			if !ok || !before.IsZero() && at.After(before) || !yield(at) {
				return
			}
		}
	}, true
}
