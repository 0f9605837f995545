package plan

import "limekeep/schedule/record"

// Routine is a round of small tasks that come again within days. It has its own
// day and minutes, is done as a whole or in part, and never takes a slot.
type Routine struct {
	EveryDays int         // 1 for daily
	From      record.Date // a day on which it is done, today or later; from there on every so many days
	Minutes   float64     // that the whole takes
	Tasks     []string
}
