package plan

import "limekeep/schedule/record"

// CatchUp is a plan of weeks for what is past already: safety first, then what
// does harm, then the rest, with so many minutes a week and no more.
type CatchUp struct {
	Tasks   []string    // in the order in which they are caught up with
	Minutes float64     // of sittings that it takes
	PerWeek float64     // minutes a week at the most; a task that is longer has a week of its own
	Weeks   int         // from today to the end
	End     record.Date // day of the last sitting that catches up
}
