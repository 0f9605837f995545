package recur

import (
	"context"
	"slices"
	"time"
)

// Set is all the times at which something begins (RFC 5545, 3.8.5).
type Set struct {
	Start  time.Time   // DTSTART, in the zone on whose clock the rule is followed
	Rule   *Rule       // nil where there is none
	Dates  []time.Time // RDATE
	Except []time.Time // EXDATE, and RECURRENCE-ID of the occurrences that were changed
}

// Window is a time that is asked about, from its beginning up to its end, which is
// not part of it.
type Window struct{ From, To time.Time }

// In returns when it begins within a window, in order, each time once. With a rule
// Start counts where the rule has it, which a calendar sees to (RFC 5545, 3.8.5.3).
// Where the budget does not suffice, the error is ErrTooLong; else it is that of
// the context.
func (s Set) In(ctx context.Context, w Window, b *Budget) ([]time.Time, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var starts []time.Time
	add := func(at time.Time) {
		if !at.Before(w.From) && at.Before(w.To) {
			starts = append(starts, at)
		}
	}
	if err := b.spend(ctx, 1+len(s.Dates)+len(s.Except)); err != nil {
		return nil, err
	}
	for _, at := range s.Dates {
		add(at)
	}
	if s.Rule == nil {
		add(s.Start)
	} else if err := s.follow(ctx, w, b, add); err != nil {
		return nil, err
	}
	// A change of clocks can turn times round, and make one of two.
	slices.SortFunc(starts, time.Time.Compare)
	starts = slices.CompactFunc(starts, time.Time.Equal)
	except := make(map[int64]bool, len(s.Except))
	for _, at := range s.Except {
		except[at.Unix()] = true
	}
	return slices.DeleteFunc(starts, func(at time.Time) bool { return except[at.Unix()] }), nil
}

// follow tells the times of the rule, and maybe some just outside the window.
func (s Set) follow(ctx context.Context, w Window, b *Budget, add func(time.Time)) error {
	zone := s.Start.Location()
	to := w.To
	var until time.Time
	if !s.Rule.Until.IsZero() {
		if until = s.Rule.Until.In(zone); until.Before(to) {
			to = until
		}
	}
	course := newCourse(*s.Rule, wallOf(s.Start, zone).Truncate(time.Second))
	if err := b.spend(ctx, len(course.times)); err != nil {
		return err
	}
	return course.walk(ctx, b, wallOf(w.From, zone).Add(-oneDay), wallOf(to, zone).Add(oneDay), func(wall time.Time) {
		if at := onClock(wall, zone); until.IsZero() || !at.After(until) {
			add(at)
		}
	})
}
