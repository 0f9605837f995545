package use

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

// home is a machine of a home: 4 shots on a weekday, 6 at the weekend. Invented.
func home(bought record.Date) record.Equipment {
	return record.Equipment{ID: "machine", Bought: bought, Machine: &record.Machine{
		Setting: record.Home,
		Habit:   record.Habit{WeekdayShots: 4, WeekendShots: 6, SteamedShare: new(0.5), DoseGrams: 18, YieldGrams: 36, HotHours: 3},
	}}
}

func batch(id int64, machine string, from, to record.Date) record.Entry {
	return record.Entry{ID: id, Effective: from, Body: record.UseBatch{Machine: machine, From: from, To: to}}
}

func TestCourseCoversItsDays(t *testing.T) {
	tests := []struct {
		name                       string
		bought, first, today, last record.Date
		wantFirst                  record.Date
		wantDays                   int
	}{
		{"from the day it was bought", monday, monday - 30, monday + 9, monday + 29, monday, 30},
		{"from the day asked for", monday - 30, monday, monday + 9, monday + 29, monday, 30},
		{"today is the last", monday, monday, monday + 9, monday + 9, monday, 10},
		{"all of it lies ahead", monday + 20, monday, monday + 9, monday + 29, monday + 20, 10},
		{"one day", monday, monday, monday, monday, monday, 1},
		{"it ends before it begins", monday, monday, monday, monday - 5, monday, 1},
		{"it ended before today", monday, monday, monday + 50, monday + 9, monday, 10},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			c := NewTimeline(record.NewBook(test.today, nil, nil), home(test.bought), test.first, test.last)
			if c.First != test.wantFirst || len(c.Days) != test.wantDays || c.Today != test.today {
				t.Fatalf("from %s, %d days, today %s, want from %s, %d days, today %s",
					c.First, len(c.Days), c.Today, test.wantFirst, test.wantDays, test.today)
			}
			for i, got := range c.Days {
				d := c.First + record.Date(i)
				want := 4.0
				if d.Weekend() {
					want = 6
				}
				if got.Shots != want || got.Logged {
					t.Errorf("%s: %v shots, logged %t, want %v by habit", d.Long(), got.Shots, got.Logged, want)
				}
				if c.On(d) != got {
					t.Errorf("%s is another day when asked for by date", d)
				}
			}
			if c.On(c.First-1) != (Day{}) || c.On(c.First+record.Date(len(c.Days))) != (Day{}) {
				t.Error("outside of its days it is not empty")
			}
		})
	}
}

func TestCourseTellsLoggedDaysFromHabit(t *testing.T) {
	// Bought on a Monday; log on Wednesday, Thursday without a shot, Friday; the
	// rest of the fortnight by habit. Today is the second Sunday.
	entries := []record.Entry{
		batch(1, "machine", monday+2, monday+4),
		batch(2, "lever", monday, monday+13), // of another machine
	}
	days := []record.UseDay{
		{Machine: "machine", Date: monday + 2, Shots: 10, Steamed: 3},
		{Machine: "machine", Date: monday + 4, Shots: 1},
		{Machine: "lever", Date: monday + 1, Shots: 99},
		{Machine: "machine", Date: monday - 1, Shots: 99}, // before it was bought
	}
	c := NewTimeline(record.NewBook(monday+13, entries, days), home(monday), monday, monday+27)
	want := []struct {
		shots  float64
		logged bool
	}{{4, false}, {4, false}, {10, true}, {0, true}, {1, true}, {6, false}, {6, false}}
	for i, w := range want {
		if got := c.Days[i]; got.Shots != w.shots || got.Logged != w.logged {
			t.Errorf("%s: %v shots, logged %t, want %v, %t", (monday + record.Date(i)).Long(), got.Shots, got.Logged, w.shots, w.logged)
		}
	}
	if c.Batches != 1 || c.Logged != 3 {
		t.Errorf("%d batches, %d days logged, want 1 and 3", c.Batches, c.Logged)
	}
	checkDay(t, "a day without a shot", c.Days[3], Day{Logged: true})

	if c.Rate.LoggedDays != 3 {
		t.Errorf("%v days in the rate, want 3", c.Rate.LoggedDays)
	}
	// The days to come follow the rate, the past habit does not change.
	if got := c.On(monday + 14); !near(got.Shots, c.Rate.Of(monday)) || got.Logged || got.Basis != ByForecast {
		t.Errorf("tomorrow: %+v, want %v shots", got, c.Rate.Of(monday))
	}
	if got := c.On(monday + 7); got.Shots != 4 {
		t.Errorf("an unlogged Monday of the past: %v shots, want the habit's 4", got.Shots)
	}
}

// A batch that ends after today says nothing of the days to come.
func TestCourseDoesNotLogTheFuture(t *testing.T) {
	c := NewTimeline(record.NewBook(monday+2, []record.Entry{batch(1, "machine", monday-9, monday+9)}, nil), home(monday), monday, monday+9)
	for i, d := range c.Days {
		if want := i <= 2; d.Logged != want {
			t.Errorf("day %d: logged %t", i, d.Logged)
		}
	}
	if c.Logged != 3 || c.Rate.LoggedDays != 3 {
		t.Errorf("%d and %v days logged, want 3", c.Logged, c.Rate.LoggedDays)
	}
}

// The log narrows what is not known of the days to come, and never to nothing.
func TestSpreadShrinksWithTheLog(t *testing.T) {
	before := math.Inf(1)
	for _, weeks := range []int{0, 1, 4, 8, 20} {
		today := monday + 199 // a Friday
		entries, days := logOf(today, 7*weeks, func(d record.Date) float64 {
			if d.Weekend() {
				return 6
			}
			return 4
		})
		c := NewTimeline(record.NewBook(today, entries, days), home(monday), monday, today+30)
		if counted := min(float64(7*weeks), 56); c.Rate.LoggedDays != counted {
			t.Errorf("%d weeks: %v days in the rate, want %v", weeks, c.Rate.LoggedDays, counted)
		}
		if !near(c.Rate.Weekly(), 5*4+2*6) {
			t.Errorf("%d weeks as the habit says: %v shots a week, want 32", weeks, c.Rate.Weekly())
		}
		if weeks == 0 {
			// The stated habit alone is known to a factor of e^0.25 either way.
			if want := math.Hypot(0.08, math.Sqrt(math.Log1p(0.25*0.25))); !near(c.Spread.Future, want) {
				t.Errorf("the habit alone: spread %v, want %v", c.Spread.Future, want)
			}
		}
		if c.Spread.Future >= before || c.Spread.Future < 0.08 {
			t.Errorf("%d weeks: spread %v, after %v with a shorter log", weeks, c.Spread.Future, before)
		}
		before = c.Spread.Future
		if c.Spread.Unlogged != 0.25 || c.Spread.Month < 0.08 {
			t.Errorf("%d weeks: %+v", weeks, c.Spread)
		}
	}
}

// logOf is a log of the last days up to today.
func logOf(today record.Date, n int, shots func(record.Date) float64) ([]record.Entry, []record.UseDay) {
	if n == 0 {
		return nil, nil
	}
	from := today - record.Date(n) + 1
	entry := record.Entry{ID: 1, Effective: from, Body: record.UseBatch{Machine: "machine", From: from, To: today, File: "log.csv"}}
	var days []record.UseDay
	for d := from; d <= today; d++ {
		if s := shots(d); s > 0 {
			days = append(days, record.UseDay{Machine: "machine", Date: d, Record: 1, Shots: s})
		}
	}
	return []record.Entry{entry}, days
}

// What was written down comes out again: the logged days hold the shots, grams
// and milk of the rows, no more and no less.
func TestLoggedDaysEqualTheirRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		span := rapid.IntRange(1, 60).Draw(t, "days")
		from := monday + record.Date(rapid.IntRange(-20, 40).Draw(t, "from"))
		today := from + record.Date(rapid.IntRange(0, 80).Draw(t, "today"))
		var days []record.UseDay
		var shots, kilograms, steamed, hotWater, cup, on float64
		for i := range span {
			if !rapid.Bool().Draw(t, "drunk") {
				continue
			}
			n := float64(rapid.IntRange(1, 20).Draw(t, "shots"))
			d := record.UseDay{
				Machine: "machine", Date: from + record.Date(i), Shots: n,
				DosedShots: n, DoseGrams: n * rapid.Float64Range(7, 22).Draw(t, "dose"),
				YieldShots: n, YieldGrams: n * rapid.Float64Range(15, 60).Draw(t, "yield"),
				Steamed: n * rapid.Float64Range(0, 1).Draw(t, "steamed"), HotWaterLitres: rapid.Float64Range(0, 2).Draw(t, "hot water"),
			}
			days = append(days, d)
			if d.Date < monday || d.Date > today {
				continue
			}
			shots += d.Shots
			kilograms += d.DoseGrams / 1000
			cup += d.YieldGrams / 1000
			steamed += d.Steamed
			hotWater += d.HotWaterLitres
			on++
		}
		book := record.NewBook(today, []record.Entry{batch(1, "machine", from, from+record.Date(span)-1)}, days)
		c := NewTimeline(book, home(monday), monday, today+100)
		var got Day
		logged := 0
		for i, d := range c.Days {
			if d.Logged {
				got.Shots += d.Shots
				got.Kilograms += d.Kilograms
				got.BrewLitres += d.BrewLitres
				got.SteamLitres += d.SteamLitres
				got.HotWaterLitres += d.HotWaterLitres
				got.HotHours += d.HotHours
				logged++
				if c.First+record.Date(i) > today {
					t.Fatalf("a day after today is logged")
				}
			}
		}
		checkDay(t, "sum of the log", got, Day{
			Shots: shots, Kilograms: kilograms,
			BrewLitres:  cup + kilograms + 0.030*shots + 0.100*on,
			SteamLitres: 0.025 * steamed, HotWaterLitres: hotWater, HotHours: 3 * on,
		})
		if logged != c.Logged {
			t.Fatalf("%d days are logged, it counts %d", logged, c.Logged)
		}
	})
}
