package dav

import (
	"context"
	"time"

	"github.com/emersion/go-ical"

	"limekeep/schedule/recur"
)

// recurrence says when a to-do is to be done again (RFC 5545, 3.8.5). Its dates
// without a zone are in whatever zone is asked about.
type recurrence struct {
	rule   *recur.Rule // nil where there are only dates
	more   []instant   // RDATE
	except []instant   // EXDATE, and occurrences that were changed
	odd    bool        // a rule that is not followed
}

// Bounds to what is followed of a recurrence. Nothing that is cared for by a
// calendar comes near; a rule that somebody sends to keep the server busy does.
const (
	mostSteps      = 100_000
	mostYearsAhead = 10 // looked at for the first match of an open question
)

// recurrenceOf reads the recurrence of a to-do, nil where it happens once. A rule
// by the hour or less is not followed.
func recurrenceOf(t *todo, z *zones) *recurrence {
	if !t.anchor().known() {
		return nil
	}
	r := &recurrence{
		more:   instantsOf(t.Props[ical.PropRecurrenceDates], z),
		except: instantsOf(t.Props[ical.PropExceptionDates], z),
	}
	p := t.Props.Get(ical.PropRecurrenceRule)
	if p == nil {
		if len(r.more) == 0 && len(r.except) == 0 {
			return nil
		}
		return r
	}
	rule, err := recur.ParseRule(p.Value)
	r.rule, r.odd = &rule, err != nil || rule.Freq > recur.Daily
	return r
}

// begins returns when a to-do that first begins at an anchor begins within a
// window; where that ends is taken to be some years ahead if it is open. It reports
// false where the recurrence is not followed.
func (r *recurrence) begins(ctx context.Context, anchor time.Time, zone *time.Location, w recur.Window) (starts []time.Time, ok bool) {
	if r.odd {
		return nil, false
	}
	if w.To.IsZero() {
		w.To = anchor
		if w.From.After(anchor) {
			w.To = w.From
		}
		w.To = w.To.AddDate(mostYearsAhead, 0, 0)
	}
	set := recur.Set{Start: anchor, Rule: r.rule}
	for _, i := range r.more {
		set.Dates = append(set.Dates, i.in(zone))
	}
	for _, i := range r.except {
		set.Except = append(set.Except, i.in(zone))
	}
	starts, err := set.In(ctx, w, recur.NewBudget(mostSteps))
	return starts, err == nil
}
