package use

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

// monday is the first day of a week, so that weekdays can be counted off.
var monday = record.NewDate(2026, 3, 2)

func TestRateOfADay(t *testing.T) {
	r := Rate{ByWeekday: [7]float64{7, 1, 2, 3, 4, 5, 6}}
	for i, want := range []float64{1, 2, 3, 4, 5, 6, 7} {
		if got := r.Of(monday + record.Date(i)); got != want {
			t.Errorf("%s: %v, want %v", (monday + record.Date(i)).Long(), got, want)
		}
	}
	if got := r.Weekly(); got != 28 {
		t.Errorf("a week: %v", got)
	}
}

// learntRate is what a log of the last days makes of the habit of home.
func learntRate(n int, shots func(record.Date) float64) Rate {
	today := monday + 699
	entries, days := logOf(today, n, shots)
	return NewTimeline(record.NewBook(today, entries, days), home(monday), monday, today+1).Rate
}

// However long or short a steady log, the week lies between what it says and
// the habit, and a longer log of the same brings it nearer. A hundredth is left
// to the factor on the habit and the weekdays, which learn side by side.
func TestRateLiesBetweenHabitAndLog(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shots := float64(rapid.IntRange(1, 300).Draw(t, "shots"))
		habit := 5*4 + 2*6.
		before := habit
		for weeks := 1; weeks <= 12; weeks++ {
			got := learntRate(7*weeks, func(record.Date) float64 { return shots }).Weekly()
			if got < 0.99*min(habit, 7*shots) || got > 1.01*max(habit, 7*shots) {
				t.Fatalf("%d weeks of %v: %v a week, outside of %v to %v", weeks, shots, got, habit, 7*shots)
			}
			if math.Abs(7*shots-got) > math.Abs(7*shots-before)+0.01*7*shots {
				t.Fatalf("%d weeks of %v: %v a week, further away than %v a week before", weeks, shots, got, before)
			}
			before = got
		}
	})
}

// A stated habit weighs about as much as a few days of a household's log: after
// three weeks of another rate four fifths of the way are gone.
func TestRateLeavesAHabitThatTheLogContradicts(t *testing.T) {
	for _, test := range []struct {
		days        int
		least, most float64 // of the way from the habit to the log
	}{{0, 0, 0}, {3, 0.15, 0.7}, {21, 0.8, 1}, {84, 0.95, 1}} {
		got := learntRate(test.days, func(record.Date) float64 { return 10 }).Weekly()
		way := (got - 32) / (70 - 32)
		if way < test.least || way > test.most {
			t.Errorf("%d days of 10 a day: %.2f of the way, want %v to %v", test.days, way, test.least, test.most)
		}
	}
}

// Each weekday finds its own rate.
func TestRateByWeekday(t *testing.T) {
	week := []float64{2, 3, 3, 8, 1, 12, 5} // Monday first
	r := learntRate(7*20, func(d record.Date) float64 { return week[int(d-monday)%7] })
	for i, want := range week {
		d := monday + record.Date(i)
		if got := r.Of(d); math.Abs(got-want) > 0.15*want+0.15 {
			t.Errorf("%s: %.2f, want about %v", d.Weekday(), got, want)
		}
	}
}

// A change of habit is followed within about four weeks: over fifty households
// with days by chance, more than three quarters of the way on the whole, and the
// steady months before do not hold it back. The counts are drawn arrival by
// arrival.
func TestRateFollowsAChange(t *testing.T) {
	today := monday + 699
	for _, factor := range []float64{0.5, 1.6, 2.5} {
		for _, days := range []struct {
			since int
			least float64
		}{{14, 0.5}, {28, 0.75}, {56, 0.85}} {
			random := rand.New(rand.NewPCG(28, 2026))
			sum := 0.0
			const households = 50
			for range households {
				sum += learntRate(250, func(d record.Date) float64 {
					mean := 4.0
					if d.Weekend() {
						mean = 6
					}
					if d > today-record.Date(days.since) {
						mean *= factor
					}
					return float64(poisson(random, mean))
				}).Weekly()
			}
			way := (sum/households/32 - 1) / (factor - 1)
			t.Logf("%v times as much for %d days: %.2f of the way", factor, days.since, way)
			if way < days.least || way > 1.1 {
				t.Errorf("%v times as much for %d days: %.2f of the way, want at least %v", factor, days.since, way, days.least)
			}
		}
	}
}

// A log that ended long ago loses its say to the habit, which counts for the
// days since; one that ended last week does not.
func TestAnOldLogGivesWayToTheHabit(t *testing.T) {
	for _, test := range []struct {
		daysAgo     record.Date
		least, most float64 // of the way from the log to the habit
	}{{0, 0, 0.05}, {7, 0.05, 0.2}, {60, 0.5, 0.75}, {365, 0.98, 1}} {
		today := monday + 699
		entries, days := logOf(today-test.daysAgo, 200, func(record.Date) float64 { return 10 })
		got := NewTimeline(record.NewBook(today, entries, days), home(monday), monday, today+1).Rate.Weekly()
		if way := (got - 70) / (32 - 70); way < test.least || way > test.most {
			t.Errorf("%d days after the last row: %.2f of the way back to the habit, want %v to %v", test.daysAgo, way, test.least, test.most)
		}
	}
}

// A fortnight without a shot in the middle of a long log is an absence, not a
// change of habit: the rate stands, and absences are expected ahead.
func TestAnAbsenceIsNoHabit(t *testing.T) {
	today := monday + 699
	shots := func(d record.Date) float64 {
		if d > today-15 && d <= today-1 {
			return 0
		}
		if d.Weekend() {
			return 6
		}
		return 4
	}
	entries, days := logOf(today, 300, shots)
	c := NewTimeline(record.NewBook(today, entries, days), home(monday), monday, today+30)
	if got := c.Rate.Weekly(); math.Abs(got-32) > 1 {
		t.Errorf("after a fortnight away: %v shots a week, want about 32", got)
	}
	if c.Absent < 0.03 || c.Absent > 0.08 {
		t.Errorf("absent on %.3f of the days, of 14 in 300", c.Absent)
	}
	if got, want := c.On(today+3).Shots, c.Rate.Of(today+3)*(1-c.Absent); !near(got, want) {
		t.Errorf("a day ahead: %v shots, want %v", got, want)
	}
	// Nine weeks without a shot are another habit.
	entries, days = logOf(today, 300, func(d record.Date) float64 {
		if d > today-63 {
			return 0
		}
		return 4
	})
	c = NewTimeline(record.NewBook(today, entries, days), home(monday), monday, today+30)
	if got := c.Rate.Weekly(); got > 8 {
		t.Errorf("after nine weeks without a shot: %v a week", got)
	}
}

// A bar that is closed on Sundays is not away on Sundays.
func TestClosedOnSundays(t *testing.T) {
	r := learntRate(200, func(d record.Date) float64 {
		if d.Weekday() == 0 {
			return 0
		}
		return 40
	})
	if got := r.ByWeekday[0]; got > 1.5 {
		t.Errorf("Sundays: %v shots", got)
	}
	if got := r.ByWeekday[1]; math.Abs(got-40) > 3 {
		t.Errorf("Mondays: %v shots, want 40", got)
	}
}
