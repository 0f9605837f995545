package main

import (
	"testing"

	"limekeep/schedule/day"
)

// What goes with a time away and is past its day has no day to wait for.
func TestSittingTextOfWhatIsPast(t *testing.T) {
	for _, c := range []struct {
		due  day.Due
		want string
	}{
		{day.Due{OnItsDay: true}, "on its day"},
		{day.Due{OnItsDay: true, Overdue: true}, "now"},
		{day.Due{}, "-"},
	} {
		if got := sittingText(c.due); got != c.want {
			t.Errorf("%+v: %q, want %q", c.due, got, c.want)
		}
	}
}
