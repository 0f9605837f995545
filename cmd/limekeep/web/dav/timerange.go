package dav

import (
	"time"

	"limekeep/schedule/recur"
)

// timeRange runs from Start, inclusive, to End, not inclusive (RFC 4791, 9.9).
// Where an end is missing it is open.
type timeRange struct {
	start, end time.Time
}

// timeRangeOf reads CALDAV:time-range, or another element with the same
// attributes.
func timeRangeOf(n *node) (*timeRange, error) {
	var r timeRange
	for name, to := range map[string]*time.Time{"start": &r.start, "end": &r.end} {
		value, ok := n.attr(name)
		if !ok {
			continue
		}
		at, err := time.Parse("20060102T150405Z", value)
		if err != nil {
			return nil, &Refusal{validFilter, "The " + name + " of a time range is a date with time in UTC, such as 20260301T090000Z."}
		}
		*to = at
	}
	switch {
	case r.start.IsZero() && r.end.IsZero():
		return nil, &Refusal{validFilter, "A time range has a start, an end or both."}
	case !r.start.IsZero() && !r.end.IsZero() && !r.end.After(r.start):
		return nil, &Refusal{validFilter, "A time range ends after it starts."}
	}
	return &r, nil
}

// widened returns the range with a while more on both sides, and a day for changes
// of clocks. An open end stays open.
func (r *timeRange) widened(by time.Duration) recur.Window {
	var w recur.Window
	by += 25 * time.Hour
	if !r.start.IsZero() {
		w.From = r.start.Add(-by)
	}
	if !r.end.IsZero() {
		w.To = r.end.Add(by)
	}
	return w
}

// from is start <= t, after start < t; until is end > t, reach end >= t.
func (r *timeRange) from(t time.Time) bool  { return !t.Before(r.start) }
func (r *timeRange) after(t time.Time) bool { return t.After(r.start) || r.start.IsZero() }
func (r *timeRange) until(t time.Time) bool { return r.end.IsZero() || t.Before(r.end) }
func (r *timeRange) reach(t time.Time) bool { return r.end.IsZero() || !t.After(r.end) }

// holds reports whether a point in time lies in the range, as it does for
// properties and for the triggers of alarms.
func (r *timeRange) holds(t time.Time) bool { return r.from(t) && r.until(t) }

// overlaps is the table for VTODO in RFC 4791, 9.9, row by row.
func (r *timeRange) overlaps(i occurrence) bool {
	switch {
	case !i.start.IsZero() && i.hasDuration:
		end := i.start.Add(i.duration)
		return r.from(end) && (r.until(i.start) || r.reach(end))
	case !i.start.IsZero() && !i.due.IsZero():
		return (r.after(i.due) || r.from(i.start)) && (r.until(i.start) || r.reach(i.due))
	case !i.start.IsZero():
		return r.holds(i.start)
	case !i.due.IsZero():
		return r.after(i.due) && r.reach(i.due)
	case !i.completed.IsZero() && !i.created.IsZero():
		return (r.from(i.created) || r.from(i.completed)) && (r.reach(i.created) || r.reach(i.completed))
	case !i.completed.IsZero():
		return r.from(i.completed) && r.reach(i.completed)
	case !i.created.IsZero():
		return r.until(i.created)
	}
	return true
}
