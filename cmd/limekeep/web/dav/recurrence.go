package dav

import (
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
	mostYearsBack   = 20 // from what is asked about to the first occurrence
	mostYearsAhead  = 10 // looked at for the first match of an open question
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
		r.odd = err != nil || option.Freq > rrule.DAILY || len(option.Byeaster) > 0 || option.Interval > mostInterval ||
			max(1, len(option.Byhour))*max(1, len(option.Byminute))*max(1, len(option.Bysecond)) > mostTimesADay
	}
	return r
}

// option reads the rule for a first occurrence, whose zone an UNTIL without one
// is in (RFC 5545, 3.3.10). A date is the last day on which the to-do can begin.
func (r *recurrence) option(anchor time.Time) (*rrule.ROption, error) {
	option, err := rrule.StrToROptionInLocation(r.rule, anchor.Location())
	if err != nil {
		return nil, err
	}
	_, until, _ := strings.Cut(r.rule, "UNTIL=")
	if until, _, _ = strings.Cut(until, ";"); len(until) == len("20060102") {
		option.Until = option.Until.AddDate(0, 0, 1).Add(-time.Second)
	}
	return option, nil
}

// walk goes through the times at which a to-do begins: first those that were
// added one by one, then those of the rule in order, each once.
type walk struct {
	added  []time.Time
	except map[int64]bool // seconds since 1970

	next   rrule.Next     // nil without a rule
	shift  int            // years that the rule runs ahead
	zone   *time.Location // of the first occurrence, whose clock the rule follows
	until  time.Time      // UNTIL; zero where there is none
	before time.Time      // where the walk ends; zero where only the rule ends it

	count int
	// lost is whether it ended because the rule could not be followed further.
	lost bool
}

// step gives the next time.
func (w *walk) step() (at time.Time, ok bool) {
	// The library panics at some rules that its reader has let through.
	defer func() {
		if recover() != nil {
			w.lost, ok = true, false
		}
	}()
	beyond := func(end time.Time) bool { return !end.IsZero() && at.After(end) }
	for w.count++; w.count <= mostOccurrences; w.count++ {
		if len(w.added) > 0 {
			at, w.added = w.added[0], w.added[1:]
			if beyond(w.before) {
				continue
			}
		} else {
			if w.next == nil {
				return at, false
			}
			wall, more := w.next()
			if !more {
				return at, false
			}
			at = time.Date(wall.Year()-w.shift, wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), 0, w.zone)
			if beyond(w.until) || beyond(w.before) {
				return at, false
			}
		}
		if w.except[at.Unix()] {
			continue
		}
		w.except[at.Unix()] = true // given now, so not given again
		return at, true
	}
	w.lost = true
	return at, false
}

// Years of the calendar: after a cycle dates fall on the same days of the week
// again, and the library looks for occurrences up to its last year.
const (
	cycleYears = 400
	lastYear   = 9999
)

// walk starts at an occurrence's first time and ends at a time or, where that is
// zero, some years after what is asked about. It is nil where the rule is not
// followed.
//
// Of a rule that never comes true, such as each 30 February, the library tries
// every day up to its last year. So the rule is followed on a calendar moved
// ahead by whole cycles, close to that year, and on a clock without zones.
func (r *recurrence) walk(anchor time.Time, zone *time.Location, from, before time.Time) (w *walk) {
	if r.odd || from.Sub(anchor) > mostYearsBack*365*24*time.Hour {
		return nil
	}
	defer func() {
		if recover() != nil { // as in step
			w = nil
		}
	}()
	w = &walk{except: map[int64]bool{}, zone: anchor.Location(), before: before}
	for _, i := range r.except {
		w.except[i.in(zone).Unix()] = true
	}
	for _, i := range r.more {
		w.added = append(w.added, i.in(zone))
	}
	if r.rule == "" {
		w.added = append(w.added, anchor)
		return w
	}
	option, err := r.option(anchor)
	if err != nil {
		return nil
	}
	last := before
	if last.IsZero() {
		last = anchor
		if from.After(anchor) {
			last = from
		}
		last = last.AddDate(mostYearsAhead, 0, 0)
	}
	w.until = option.Until
	w.shift = max(0, lastYear-1-last.Year()) / cycleYears * cycleYears
	ahead := func(t time.Time) time.Time {
		t = t.In(w.zone)
		return time.Date(t.Year()+w.shift, t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
	}
	option.Dtstart = ahead(anchor)
	option.Until = ahead(last).AddDate(0, 0, 1) // a clock change more; step looks at the very end
	rule, err := rrule.NewRRule(*option)
	if err != nil {
		return nil
	}
	w.next = rule.Iterator()
	return w
}
