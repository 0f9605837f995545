package plan

import (
	"slices"
	"time"

	"limekeep/schedule/record"
)

// Busy is a time at which no sitting can be: the owner is away, has something
// else in the calendar, or wants none.
type Busy struct {
	From, To time.Time // from the first instant up to, not including, the last
}

// Whole gives the busy time of whole days, the last included.
func Whole(first, last record.Date, zone *time.Location) Busy {
	return Busy{From: first.In(zone), To: (last + 1).In(zone)}
}

// Days are some days in a row, the last included.
type Days struct{ From, To record.Date }

// closed reports whether nobody is there on a day.
func (r *Request) closed(on record.Date) bool {
	return slices.ContainsFunc(r.Closed, func(d Days) bool { return d.From <= on && on <= d.To })
}

// open gives the day nearest to one on which somebody is there, none before the earliest; the
// day itself where there is none within the plan.
func (r *Request) open(on, earliest record.Date) record.Date {
	for away := record.Date(0); on-away >= earliest || on+away < r.Until; away++ {
		if day := on - away; day >= earliest && !r.closed(day) {
			return day
		}
		if day := on + away; !r.closed(day) {
			return day
		}
	}
	return on
}

// touches tells whether any of a slot lies in the busy time.
func (b Busy) touches(s Slot) bool {
	end := s.Start.Add(time.Duration(s.Minutes * float64(time.Minute)))
	return b.From.Before(end) && s.Start.Before(b.To)
}

// Free gives the slots of which nothing is busy.
func Free(slots []Slot, busy []Busy) []Slot {
	return slices.DeleteFunc(slices.Clone(slots), func(s Slot) bool {
		return slices.ContainsFunc(busy, func(b Busy) bool { return b.touches(s) })
	})
}

// How many slots of a week are planned with: all that can matter soon, a
// handful later, so that a place with a slot every hour is planned as fast.
const (
	soonWeeks   = 8
	soonAWeek   = 7
	laterAWeek  = 2
	daysOfAWeek = 7
)

// Thin leaves out slots beyond one a day and so many a week, but none on a day to keep. Of
// the slots of a week the longest stay, of those the first. The weeks are those
// of the calendar, so that the same slots stay tomorrow.
func Thin(slots []Slot, today record.Date, keep []record.Date) []Slot {
	slots = oneADay(slots)
	var thin []Slot
	for len(slots) > 0 {
		week := slots[0].Date() / daysOfAWeek
		n := slices.IndexFunc(slots, func(s Slot) bool { return s.Date()/daysOfAWeek != week })
		if n < 0 {
			n = len(slots)
		}
		most := laterAWeek
		if week-today/daysOfAWeek <= soonWeeks {
			most = soonAWeek
		}
		thin = append(thin, best(slots[:n], most, keep)...)
		slots = slots[n:]
	}
	return thin
}

// oneADay leaves the longest slot of each day, of those the first: nobody wants
// two sittings a day, and a day is what plans are kept by.
func oneADay(slots []Slot) []Slot {
	var kept []Slot
	for _, s := range slots {
		last := len(kept) - 1
		switch {
		case last < 0 || kept[last].Date() != s.Date():
			kept = append(kept, s)
		case s.Minutes > kept[last].Minutes:
			kept[last] = s
		}
	}
	return kept
}

// best gives the longest of a week's slots, in order.
func best(slots []Slot, most int, keep []record.Date) []Slot {
	if len(slots) <= most {
		return slots
	}
	ranked := slices.Clone(slots)
	slices.SortStableFunc(ranked, func(a, b Slot) int {
		switch {
		case a.Minutes > b.Minutes:
			return -1
		case a.Minutes < b.Minutes:
			return 1
		}
		return a.Start.Compare(b.Start)
	})
	ranked = ranked[:most]
	return slices.DeleteFunc(slices.Clone(slots), func(s Slot) bool {
		return !slices.Contains(keep, s.Date()) && !slices.ContainsFunc(ranked, func(r Slot) bool { return r.Start.Equal(s.Start) })
	})
}
