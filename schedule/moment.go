package schedule

import (
	"time"

	"limekeep/schedule/record"
)

// Moment is the place and the day that a question is about.
type Moment struct {
	Place string      // id; the only place where empty
	Today record.Date // the place's own today where zero
}

// ErrNoPlace says that nothing was set up yet.
var ErrNoPlace = &NeedError{"no place is set up yet", Action{Verb: SetUpPlace}}

// EndOfTime lies after every date that can be written down.
var EndOfTime = record.NewDate(9999, time.December, 31)
