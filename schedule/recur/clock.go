package recur

import "time"

// oneDay is more than any change of a clock.
const oneDay = 25 * time.Hour

// onClock returns the instant at which a zone's clock shows a time, which is given
// as if in UTC. A time that clocks skip is taken on the clock before the change,
// and of one that they show twice the first is meant (RFC 5545, 3.3.5).
func onClock(wall time.Time, zone *time.Location) time.Time {
	if zone == time.UTC {
		return wall
	}
	by := func(offset int) time.Time { return wall.Add(-time.Duration(offset) * time.Second).In(zone) }
	guess := offsetAt(wall, zone)
	near := by(guess) // a day off at most, so in the right stretch of one offset or next to it
	current := offsetAt(near, zone)
	start, end := near.ZoneBounds()
	if current == guess && (start.IsZero() || near.Sub(start) > oneDay) && (end.IsZero() || end.Sub(near) > oneDay) {
		return near
	}
	before, after := current, current
	if !start.IsZero() {
		before = offsetAt(start.Add(-time.Second), zone)
	}
	if !end.IsZero() {
		after = offsetAt(end, zone)
	}
	var first time.Time
	for _, offset := range [...]int{before, current, after} {
		if at := by(offset); offsetAt(at, zone) == offset && (first.IsZero() || at.Before(first)) {
			first = at
		}
	}
	if !first.IsZero() {
		return first
	}
	// Skipped: by the clock before the change it comes after it.
	if !start.IsZero() && !by(before).Before(start) && by(current).Before(start) {
		return by(before)
	}
	return by(current)
}

func offsetAt(t time.Time, zone *time.Location) int {
	_, offset := t.In(zone).Zone()
	return offset
}

// wallOf returns what a zone's clock shows at an instant, as if in UTC.
func wallOf(t time.Time, zone *time.Location) time.Time {
	return t.In(zone).Add(time.Duration(offsetAt(t, zone)) * time.Second).UTC()
}

// secondsPerDay of a clock without changes.
const secondsPerDay = 24 * 60 * 60

// dayNumber counts days since 1 January 1970; wall times are in UTC.
func dayNumber(wall time.Time) int64 { return floorDiv(wall.Unix(), secondsPerDay) }

// dayOf returns the first moment of a day by its number.
func dayOf(number int64) time.Time { return time.Unix(number*secondsPerDay, 0).UTC() }

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func ceilDiv(a, b int64) int64 { return -floorDiv(-a, b) }
