package form

import (
	"testing"
	"time"

	"limekeep/schedule/record"
)

// What is chosen as a day and a time is the same in the words of cron, and back; what
// says more than that is left as it was written (crontab(5) has the fields).
func TestWeekly(t *testing.T) {
	for _, c := range []struct {
		expression string
		days       string
		clock      string
		ok         bool
	}{
		{"0 10 * * SAT", "SAT", "10:00", true}, {"5 7 * * 1", "MON", "07:05", true}, {"30 6 * * MON-FRI", "MON-FRI", "06:30", true}, {"0 9 ? * 1-5", "MON-FRI", "09:00", true},
		{"0 9 * * *", "*", "09:00", true}, {"0 9 * * 6,0", "SAT,SUN", "09:00", true}, {"0 9 * * sun", "SUN", "09:00", true},
		{"0 10 1 * *", "", "", false}, {"*/5 10 * * SAT", "", "", false}, {"0 8-17 * * SAT", "", "", false}, {"0 10 * 3 SAT", "", "", false}, {"0 10 * * TUE,THU", "", "", false},
		{"0 10 * * SAT#2", "", "", false}, {"61 10 * * SAT", "", "", false}, {"", "", "", false}, {"@daily", "", "", false},
	} {
		w, ok := WeeklyOf(c.expression)
		if ok != c.ok || w.Days != c.days || w.Clock != c.clock {
			t.Errorf("%q is read as %+v, %v", c.expression, w, ok)
		}
		if !ok {
			continue
		}
		written, ok := w.Cron()
		if !ok {
			t.Errorf("%+v cannot be written", w)
			continue
		}
		want, err := record.PreferredTime{When: c.expression}.Schedule()
		if err != nil {
			t.Fatal(err)
		}
		got, err := record.PreferredTime{When: written}.Schedule()
		if err != nil {
			t.Fatalf("%q cannot be read: %v", written, err)
		}
		at := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
		for range 20 {
			next := want.Next(at)
			if !next.Equal(got.Next(at)) {
				t.Fatalf("%q and %q differ after %v", c.expression, written, at)
			}
			at = next
		}
	}
	for _, w := range []Weekly{{"SAT", ""}, {"SAT", "25:00"}, {"SAT", "10"}, {"SAT", "10:60"}, {"NODAY", "10:00"}, {"SAT", "-1:00"}, {"* * * * *", "10:00"}} {
		if text, ok := w.Cron(); ok {
			t.Errorf("%+v is written as %q", w, text)
		}
	}
}
