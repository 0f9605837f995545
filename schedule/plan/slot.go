package plan

import (
	"cmp"
	"slices"
	"time"

	"limekeep/schedule/record"
)

// Slot is an hour at which the owner could do the work.
type Slot struct {
	Start   time.Time
	Minutes float64
}

// Date gives the day of the slot in its place's zone.
func (s Slot) Date() record.Date { return record.DateOf(s.Start) }

// usualTime is the preferred time of a place that named none.
var usualTime = record.PreferredTime{When: "0 10 * * SAT", Minutes: 120}

// Slots lists the slots of a place on the days from first to last, in order.
// The cron expressions are read on the clock that hangs at the place: in a
// change of clocks a slot that falls into the gap shifts forward by it, and one
// in the doubled hour is held once, the first time.
func Slots(place record.Place, first, last record.Date) ([]Slot, error) {
	zone, err := place.Location()
	if err != nil {
		return nil, err
	}
	times := place.Times
	if len(times) == 0 {
		times = []record.PreferredTime{usualTime}
	}
	var slots []Slot
	for _, t := range times {
		schedule, err := t.Schedule()
		if err != nil {
			return nil, err
		}
		// Read on a clock without changes, then carried over to the zone's.
		at := first.In(time.UTC).Add(-time.Second)
		end := (last + 1).In(time.UTC)
		for {
			at = schedule.Next(at)
			if at.IsZero() || !at.Before(end) {
				break
			}
			slots = append(slots, Slot{Start: onClock(at, zone), Minutes: t.Minutes})
		}
	}
	// Of two that fall together the longer one stays.
	slices.SortFunc(slots, func(a, b Slot) int { return cmp.Or(a.Start.Compare(b.Start), cmp.Compare(b.Minutes, a.Minutes)) })
	return slices.CompactFunc(slots, func(a, b Slot) bool { return a.Start.Equal(b.Start) }), nil
}

// SlotOn gives a slot on a day that is no preferred one, at the time of day and
// of the length of the place's first preferred time.
func SlotOn(place record.Place, day record.Date) (Slot, error) {
	zone, err := place.Location()
	if err != nil {
		return Slot{}, err
	}
	usual := usualTime
	if len(place.Times) > 0 {
		usual = place.Times[0]
	}
	schedule, err := usual.Schedule()
	if err != nil {
		return Slot{}, err
	}
	at := schedule.Next(day.In(time.UTC).Add(-time.Second))
	if at.IsZero() {
		at = day.In(time.UTC).Add(10 * time.Hour) // a time that never comes: as usual at ten
	}
	hour, minute, _ := at.Clock()
	wall := day.In(time.UTC).Add(time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute)
	return Slot{Start: onClock(wall, zone), Minutes: usual.Minutes}, nil
}

// onClock gives the instant at which a zone's clock shows what wall shows.
func onClock(wall time.Time, zone *time.Location) time.Time {
	// The offset in force well before gives the first of a doubled hour, and
	// shifts one in a gap forward by it.
	_, offset := wall.Add(-24 * time.Hour).In(zone).Zone()
	early := wall.Add(-time.Duration(offset) * time.Second).In(zone)
	if shows(early, wall) {
		return early
	}
	// Not shown under that offset: either clocks have changed since, or it falls
	// into the gap.
	if late := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), 0, 0, zone); shows(late, wall) {
		return late
	}
	return early
}

// shows tells whether a clock at an instant has the date and time of another.
func shows(at, wall time.Time) bool {
	const clock = "2006-01-02 15:04"
	return at.Format(clock) == wall.Format(clock)
}
