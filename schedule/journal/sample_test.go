package journal_test

import (
	"limekeep/schedule"
	"limekeep/schedule/journal"
	"limekeep/schedule/sample"
)

// The day, the instant and the age of the invented places.
var (
	today  = sample.Today
	noon   = sample.Noon
	bought = sample.Bought
	at     = schedule.Moment{Today: today}
)

// byPhone is the journal of what a task app brings.
func byPhone(k *sample.Kitchen) *journal.Journal {
	return k.Journal.From(journal.AppSource("phone"))
}
