// Package schedule holds the use cases of an upkeep companion: what is due and
// why, what to write down, what goes to the calendar. Commands and pages call
// it and show its answers; they work nothing out themselves.
package schedule
