package use

import (
	"math"
	"testing"

	"limekeep/schedule/record"
)

// Hot water that nobody spoke of is not none: as much is taken as such places usually
// draw for each shot, with a share of them that draw none, where the machine has a
// steam boiler to draw it from. None that was said is none, a log without the column
// leaves the spread on the days that it has, and a log that tells takes it away. The
// figures are the assumptions beside usualHotWater.
func TestHotWaterLeftOut(t *testing.T) {
	today := record.NewDate(2026, 3, 2)
	brew, steam := record.Vessel{ID: "brew", Kind: record.BrewBoiler}, record.Vessel{ID: "steam", Kind: record.SteamBoiler}
	const logged = 100
	line := func(m record.Machine, hot float64, unsaid bool) *Timeline {
		m.Line = "tap"
		m.Habit.WeekdayShots, m.Habit.WeekendShots, m.Habit.SteamedShare = 4, 4, new(0.)
		e := record.Equipment{ID: "machine", Bought: today - 200, Machine: &m}
		entries := []record.Entry{{ID: 1, Effective: e.Bought, Body: e}}
		var days []record.UseDay
		if hot > 0 || unsaid {
			from := today - logged + 1
			entries = append(entries, record.Entry{ID: 2, Effective: from, Body: record.UseBatch{Machine: "machine", From: from, To: today, File: "log.csv", HotWaterUnsaid: unsaid}})
			for on := from; on <= today; on++ {
				days = append(days, record.UseDay{Date: on, Machine: "machine", Record: 2, Shots: 4, HotWaterLitres: hot})
			}
		}
		return NewTimeline(record.NewBook(today, entries, days), e, today-200, today+30)
	}
	for _, c := range []struct {
		name    string
		machine record.Machine
		log     float64
		unsaid  bool    // the log has no such column
		litres  float64 // a day to come, of four shots
		weight  float64 // of the guess, at most; none is exact
	}{
		{"left out at home", record.Machine{Setting: record.Home, Vessels: []record.Vessel{brew, steam}}, 0, false, 4 * 0.0323, 1},
		{"left out in a bar", record.Machine{Setting: record.Bar, Vessels: []record.Vessel{brew, steam}}, 0, false, 4 * 0.0258, 1},
		{"none, as was said", record.Machine{Setting: record.Home, Vessels: []record.Vessel{steam}, Habit: record.Habit{HotWaterLitres: new(0.)}}, 0, false, 0, 0},
		{"said", record.Machine{Setting: record.Home, Vessels: []record.Vessel{steam}, Habit: record.Habit{HotWaterLitres: new(0.3)}}, 0, false, 0.3, 0},
		{"no steam boiler", record.Machine{Setting: record.Home, Vessels: []record.Vessel{brew}}, 0, false, 0, 0},
		{"no tap", record.Machine{Setting: record.Bar, Vessels: []record.Vessel{steam}, Lacks: []record.Fitting{record.HotWaterTap}}, 0, false, 0, 0},
		{"a log that does not tell", record.Machine{Setting: record.Home, Vessels: []record.Vessel{steam}}, 0, true, 4 * 0.0323, 1},
		{"a log that tells", record.Machine{Setting: record.Home, Vessels: []record.Vessel{steam}}, 1, false, 0.74, 0.4},
	} {
		got := line(c.machine, c.log, c.unsaid)
		if litres := got.On(today + 1).HotWaterLitres; math.Abs(litres-c.litres) > 0.02*c.litres {
			t.Errorf("%s: %.4f litres a day, want %.4f", c.name, litres, c.litres)
		}
		hot := got.Spread.HotWater
		if hot.Assumed() != (c.weight > 0) || hot.Weight > c.weight {
			t.Errorf("%s: a spread of %+v", c.name, hot)
		}
		mean, n := 0.0, 10000
		for i := range n {
			mean += hot.Factor((float64(i) + 0.5) / float64(n))
		}
		if mean /= float64(n); math.Abs(mean-1) > 0.01 {
			t.Errorf("%s: the factors come to %.3f, want 1", c.name, mean)
		}
		guessed, want := got.On(today).GuessedHotWaterLitres, 0.0
		if c.unsaid {
			want = c.litres
		}
		if math.Abs(guessed-want) > 0.02*want {
			t.Errorf("%s: %.4f litres of a day that was written down are a guess, want %.4f", c.name, guessed, want)
		}
	}
	home := usualHotWater[record.Home]
	if home.At(0.49) != 0 || home.At(0.51) == 0 || math.Abs(home.At(0.75)-0.045) > 1e-9 {
		t.Errorf("at home %.4f, %.4f and %.4f litres for each shot", home.At(0.49), home.At(0.51), home.At(0.75))
	}
}

// A day on which nothing is drunk draws no hot water that nobody spoke of, and does not
// keep the machine hot.
func TestAssumedHotWaterGoesWithTheShots(t *testing.T) {
	m := &record.Machine{Setting: record.Home, Vessels: []record.Vessel{{ID: "steam", Kind: record.SteamBoiler}}, Habit: record.Habit{WeekdayShots: 4, HotHours: 3}}
	if d := habitOf(m).expected(record.NewDate(2026, 3, 1), 0); d != (Day{}) {
		t.Errorf("a Sunday without shots: %+v", d)
	}
}
