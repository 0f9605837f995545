package use

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/schedule/record"
)

// Half a year away leaves the habit of three shots a day where it was, whether
// the machine was used for years before or not at all, on the day after, two
// years later, and with four weeks logged at the habit.
func TestAnAbsenceSaysNothingOfOtherDays(t *testing.T) {
	machine := record.Equipment{ID: "machine", Machine: &record.Machine{Setting: record.Home, Habit: record.Habit{WeekdayShots: 3, WeekendShots: 3}}}
	for _, c := range []struct {
		name           string
		before         record.Date // days of use before the absence
		after, logged  record.Date // days since, and how many of them, the last, were logged
		awayFor, guess float64
	}{
		{"a new machine, just back", 0, 0, 0, 183, 3},
		{"an old machine, just back", 1000, 0, 0, 183, 3},
		{"two years later", 1000, 730, 0, 183, 3},
		{"four weeks logged", 0, 28, 28, 183, 3},
		{"four weeks logged, an old machine", 1000, 28, 28, 183, 3},
		{"a fortnight, just back", 1000, 0, 0, 14, 3},
	} {
		machine.Bought = monday
		away := record.Away{From: monday + c.before, To: monday + c.before + record.Date(c.awayFor) - 1}
		today := away.To + c.after
		entries := []record.Entry{{ID: 9, Effective: away.From, Body: away}}
		var days []record.UseDay
		if c.logged > 0 {
			var logged []record.Entry
			logged, days = logOf(today, int(c.logged), func(record.Date) float64 { return 3 })
			entries = append(entries, logged...)
		}
		timeline := NewTimeline(record.NewBook(today, entries, days), machine, monday, today+60)
		got := 0.0
		for d := today + 1; d <= today+30; d++ {
			got += timeline.On(d).Shots / 30
		}
		if math.Abs(got-c.guess) > 0.02*c.guess {
			t.Errorf("%s: %.2f shots a day to come, want %v", c.name, got, c.guess)
		}
	}
}

// A fortnight's gap in a log is an absence that others may follow; once the log
// has ended, it fades as the log does.
func TestAbsencesOfAnEndedLogFade(t *testing.T) {
	absent := func(daysAgo record.Date) float64 {
		today := monday + 699
		entries, days := logOf(today-daysAgo, 200, func(d record.Date) float64 {
			if d > today-daysAgo-60 && d <= today-daysAgo-46 {
				return 0
			}
			return 4
		})
		return NewTimeline(record.NewBook(today, entries, days), home(monday), monday, today+1).Absent
	}
	if now, later := absent(0), absent(180); now < 0.03 || later > now/5 {
		t.Errorf("absent on %.3f of the days, and on %.3f half a year after the log ended", now, later)
	}
}

// leave takes a household away for so many days, which end so many days before
// today, and lets it write that down.
func (h *household) leave(days, before int) record.Entry {
	from := h.today - record.Date(before+days) + 1
	a := record.Away{From: from, To: from + record.Date(days) - 1}
	for d := a.From; d <= a.To; d++ {
		h.away[d] = true
	}
	return record.Entry{ID: 2, Effective: a.From, Body: a}
}

// An absence that was written down says nothing of the days outside it: the
// interval of litres over the next 30 days holds as many truths after it as
// without, whether the household keeps a log or not, however long it was and
// however long ago. The bounds are those that every forecast has to meet, 74 to
// 90 %.
func TestForecastIsCalibratedAfterAnAbsence(t *testing.T) {
	const households = 500
	for _, c := range []struct {
		name     string
		logged   bool
		min, max int // days away
		ago      int // at most so many days before today it ended
	}{
		{"no log, away 14 to 200 days, within a year and a half", false, 14, 200, 500},
		{"log, away 14 to 60 days, just back", true, 14, 60, 7},
		{"log, away 60 to 200 days, just back", true, 60, 200, 7},
		{"log, away 14 to 200 days, within a year and a half", true, 14, 200, 500},
	} {
		t.Run(c.name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(14, 200))
			held, below := 0, 0
			ratio := 0.0
			for range households {
				h := drawHousehold(random)
				if random.IntN(2) == 0 { // the others changed their habit within the last months
					h.changed = h.weekday
				}
				h.loggedDays = 0
				if c.logged {
					h.loggedDays = 28 + random.IntN(372)
				}
				h.kept = append(h.kept, h.leave(c.min+random.IntN(c.max-c.min+1), random.IntN(c.ago+1)))
				a, truth := h.run()
				switch {
				case truth < a.Litres.Low:
					below++
				case truth <= a.Litres.High:
					held++
				}
				ratio += truth / a.Litres.Likely / households
			}
			share := float64(held) / households
			says := fmt.Sprintf("%.1f %% held, %.1f %% below, truth %.2f of the likely value", 100*share, 100*float64(below)/households, ratio)
			if share < 0.74 || share > 0.90 {
				t.Error(says)
			}
			t.Log(says)
		})
	}
}
