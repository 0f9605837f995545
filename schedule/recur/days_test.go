package recur

import (
	"testing"
	"time"
)

// Weeks that begin on Monday are those of ISO 8601, as Go's time.ISOWeek has them,
// counted from the end of the year as well. Weeks that begin on other days are
// those of a calendar shifted by as many days.
func TestWeeks(t *testing.T) {
	weeksOf := func(year int) int {
		_, week := time.Date(year, time.December, 28, 0, 0, 0, 0, time.UTC).ISOWeek() // always in the last
		return week
	}
	for at := time.Date(1996, time.January, 1, 0, 0, 0, 0, time.UTC); at.Year() < 2030; at = at.AddDate(0, 0, 1) {
		year, week := at.ISOWeek()
		d := dayByNumber(dayNumber(at))
		for _, n := range []int{week, week - weeksOf(year) - 1} {
			if r := (&Rule{Freq: Yearly, ByWeekNo: []int{n}, WeekStart: time.Monday}); !r.allowsWeek(d) {
				t.Fatalf("%s is not in week %d", at.Format(time.DateOnly), n)
			}
		}
		for n := -53; n <= 53; n++ {
			if r := (&Rule{Freq: Yearly, ByWeekNo: []int{n}, WeekStart: time.Monday}); n != week && n != week-weeksOf(year)-1 && r.allowsWeek(d) {
				t.Fatalf("%s is in week %d", at.Format(time.DateOnly), n)
			}
		}
	}
	// 2027 begins on a Friday: its first week beginning on Friday is its first seven
	// days, so 31 December, a Friday again, is in a week of which it has one day.
	d := dayByNumber(dayNumber(time.Date(2027, time.December, 31, 0, 0, 0, 0, time.UTC)))
	if r := (&Rule{Freq: Yearly, ByWeekNo: []int{1}, WeekStart: time.Friday}); !r.allowsWeek(d) {
		t.Error("31 December 2027 is not in the first week of 2028, which begins on Friday")
	}
}

// Each Monday, and the last Friday of the month: BYDAY adds days to each other
// (RFC 5545, 3.3.10). By hand for June 2026, whose first day is a Monday.
func TestWeekdaysAddUp(t *testing.T) {
	rule, err := ParseRule("FREQ=MONTHLY;BYDAY=MO,-1FR")
	if err != nil {
		t.Fatal(err)
	}
	first := time.Date(2026, time.June, 1, 0, 0, 0, 0, time.UTC)
	starts, err := Set{Start: first, Rule: &rule}.In(t.Context(), Window{first, first.AddDate(0, 1, 0)}, NewBudget(1000))
	got := ""
	for _, at := range starts {
		got += at.Format(" 2")
	}
	if err != nil || got != " 1 8 15 22 26 29" {
		t.Errorf("got%s (%v), want 1 8 15 22 26 29", got, err)
	}
}
