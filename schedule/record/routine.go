package record

import (
	"slices"
	"time"
)

// RoutineWishes say when the owner would rather do the routine, and how long there is
// for a round of it.
type RoutineWishes struct {
	Weekday Weekday `json:"weekday,omitempty"` // of the round that comes once a week; the one farthest from the sittings where left out
	Minutes float64 `json:"minutes,omitempty"` // that there are for a round, 1 to 240; a round that takes longer says so

	// InCalendar has the calendar show each round as an entry that recurs, where it
	// would else be left to task apps and the pages.
	InCalendar bool `json:"in_calendar,omitempty"`
}

// Weekday is a day of the week by its English name.
type Weekday string

// weekdays are in the order of time.Weekday.
var weekdays = []string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"}

// Choices lists the days of the week, Monday first.
func (Weekday) Choices() []string {
	return append(slices.Clone(weekdays[1:]), weekdays[0])
}

// Day returns the day of the week; false where none is named.
func (w Weekday) Day() (time.Weekday, bool) {
	i := slices.Index(weekdays, string(w))
	return time.Weekday(max(i, 0)), i >= 0
}

// Validate checks the day and the minutes.
func (r RoutineWishes) Validate() error {
	return AllOf(
		optionalChoice("weekday", string(r.Weekday), r.Weekday.Choices()),
		optional("minutes", r.Minutes, 1, 240, "minutes"),
	)
}

// RoutineWish returns what is wished of the routine; nothing where nobody said.
func (p Place) RoutineWish() RoutineWishes {
	if p.Routine == nil {
		return RoutineWishes{}
	}
	return *p.Routine
}
