package agenda_test

import (
	"limekeep/schedule"
	"limekeep/schedule/sample"
)

// The day, the instant and the age of the invented places.
var (
	today  = sample.Today
	noon   = sample.Noon
	bought = sample.Bought
	at     = schedule.Moment{Today: today}
)
