package recur

import "time"

// Rule is a recurrence rule (RFC 5545, 3.3.10). Lists are sorted, each value once;
// an empty one is a part that the rule does not have.
type Rule struct {
	Freq     Frequency
	Interval int // 1 or more
	Count    int // 0 for none
	Until    Until

	BySecond   []int // 0 to 59; a leap second counts as the one before it
	ByMinute   []int // 0 to 59
	ByHour     []int // 0 to 23
	ByDay      []Weekday
	ByMonthDay []int // 1 to 31; -1 is the last
	ByYearDay  []int // 1 to 366; -1 is the last
	ByWeekNo   []int // 1 to 53; -1 is the last
	ByMonth    []int // 1 to 12
	BySetPos   []int // 1 to 366; -1 is the last
	WeekStart  time.Weekday
}

// Frequency is the interval that a rule repeats by.
type Frequency int

// Frequencies, from the longest to the shortest.
const (
	Yearly Frequency = iota
	Monthly
	Weekly
	Daily
	Hourly
	Minutely
	Secondly
)

// Weekday is a day of the week in BYDAY, or only its nth in the month or year of
// the rule, counted from the end where negative. Nth is 0 for each.
type Weekday struct {
	Nth int
	Day time.Weekday
}

// Until is the last time at which a rule can have an occurrence, itself included.
// Its zero value is none.
type Until struct {
	wall  time.Time // year to second, as if in UTC
	utc   bool      // it is in UTC; else on the clock of the first occurrence
	there bool
}

// IsZero reports whether the rule has no UNTIL.
func (u Until) IsZero() bool { return !u.there }

// In returns the instant, for a rule whose first occurrence is in a zone.
func (u Until) In(zone *time.Location) time.Time {
	if u.utc {
		return u.wall
	}
	return onClock(u.wall, zone)
}
