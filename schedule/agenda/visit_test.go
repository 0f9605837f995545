package agenda

import (
	"testing"
	"time"

	"limekeep/schedule/record"
)

// A call that nobody made does not move each day, and does not stay where nobody looks.
func TestACallThatNobodyMadeComesBack(t *testing.T) {
	today := record.NewDate(2028, time.June, 1)
	for _, c := range []struct {
		name      string
		was, want record.Date
	}{
		{"to come, and now too late", today + 9, today},
		{"today", today, today},
		{"last week", today - 7, today - 7},
		{"four weeks ago", today - 28, today},
		{"last year", record.NewDate(2027, time.April, 29), today},
	} {
		if got := (&Agenda{Today: today}).calledOn(c.was); got != c.want {
			t.Errorf("%s: on %s, want %s", c.name, got, c.want)
		}
	}
}
