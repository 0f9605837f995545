package main

import (
	"testing"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// What goes with a time away and is past its day has no day to wait for; what a visit is
// for has the visit's.
func TestSittingTextOfWhatIsPast(t *testing.T) {
	for _, c := range []struct {
		due  day.Due
		want string
	}{
		{day.Due{OnItsDay: true}, "on its day"},
		{day.Due{OnItsDay: true, Overdue: true}, "now"},
		{day.Due{Booked: &day.BookedDay{On: record.NewDate(2026, 11, 30)}}, "visit 2026-11-30"},
		{day.Due{}, "-"},
	} {
		if got := sittingText(c.due); got != c.want {
			t.Errorf("%+v: %q, want %q", c.due, got, c.want)
		}
	}
}
