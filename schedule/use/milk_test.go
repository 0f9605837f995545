package use

import (
	"testing"

	"limekeep/schedule/record"
)

// Milk that nobody spoke of is not none: as much is taken as such places usually steam,
// with its spread, where the machine can steam at all. None that was said is none, and a
// log that tells takes the spread away.
func TestMilkLeftOut(t *testing.T) {
	today := record.NewDate(2026, 3, 2)
	brew, steam := record.Vessel{ID: "brew", Kind: record.BrewBoiler}, record.Vessel{ID: "steam", Kind: record.SteamBoiler}
	line := func(m record.Machine, log float64) *Timeline {
		m.Setting, m.Line = record.Home, "tap"
		m.Habit.WeekdayShots, m.Habit.WeekendShots = 4, 4
		e := record.Equipment{ID: "machine", Bought: today - 200, Machine: &m}
		entries := []record.Entry{{ID: 1, Effective: e.Bought, Body: e}}
		var days []record.UseDay
		if log > 0 {
			entries = append(entries, record.Entry{ID: 2, Effective: today - 99, Body: record.UseBatch{Machine: "machine", From: today - 99, To: today, File: "log.csv"}})
			for on := today - 99; on <= today; on++ {
				days = append(days, record.UseDay{Date: on, Machine: "machine", Record: 2, Shots: 4, Steamed: log})
			}
		}
		return NewTimeline(record.NewBook(today, entries, days), e, today-200, today+30)
	}
	for _, c := range []struct {
		name    string
		machine record.Machine
		log     float64
		steamed float64 // a day to come, of four
		sd      float64 // of the logit, at most
	}{
		{"left out", record.Machine{Vessels: []record.Vessel{brew, steam}}, 0, 2, milkLogitSD},
		{"left out of one that is told by its layout", record.Machine{Layout: record.OneBoiler, Vessels: []record.Vessel{brew}}, 0, 2, milkLogitSD},
		{"none, as was said", record.Machine{Vessels: []record.Vessel{brew, steam}, Habit: record.Habit{SteamedShare: new(0.)}}, 0, 0, 0},
		{"said", record.Machine{Vessels: []record.Vessel{brew, steam}, Habit: record.Habit{SteamedShare: new(0.25)}}, 0, 1, 0},
		{"said by the day", record.Machine{Vessels: []record.Vessel{brew, steam}, Habit: record.Habit{SteamedShots: 3}}, 0, 3, 0},
		{"a boiler for coffee alone", record.Machine{Vessels: []record.Vessel{brew}}, 0, 0, 0},
		{"no wand", record.Machine{Vessels: []record.Vessel{brew, steam}, Lacks: []record.Fitting{record.SteamWand}}, 0, 0, 0},
		{"told by a log", record.Machine{Vessels: []record.Vessel{brew, steam}}, 3, 2.7, milkLogitSD / 2},
	} {
		got := line(c.machine, c.log)
		if day := got.On(today + 1); day.SteamLitres < c.steamed*steamGrams/1000*0.95 || day.SteamLitres > c.steamed*steamGrams/1000*1.1 {
			t.Errorf("%s: %.4f litres of steam a day, want %.4f", c.name, day.SteamLitres, c.steamed*steamGrams/1000)
		}
		milk := got.Spread.Milk
		if milk.LogitSD > c.sd || (c.sd == milkLogitSD) != (milk.LogitSD == milkLogitSD) {
			t.Errorf("%s: a spread of %v", c.name, milk)
		}
		if p := milk.Percentiles(); c.sd == milkLogitSD && (p.Low < 0.2 || p.Low > 0.3 || p.High < 0.7 || p.High > 0.8) {
			t.Errorf("%s: of the shots %v get milk", c.name, p)
		}
	}
}
