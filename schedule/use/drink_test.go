package use

import (
	"math"
	"testing"

	"limekeep/schedule/record"
)

// near reports whether two figures differ by rounding alone.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(a), math.Abs(b)) }

// reporter is what a test and a property's test have in common.
type reporter interface {
	Helper()
	Errorf(format string, args ...any)
}

// checkDay compares all figures of a day.
func checkDay(t reporter, where string, got, want Day) {
	t.Helper()
	pairs := []struct {
		name      string
		got, want float64
	}{
		{"shots", got.Shots, want.Shots}, {"kilograms", got.Kilograms, want.Kilograms}, {"brew litres", got.BrewLitres, want.BrewLitres},
		{"steam litres", got.SteamLitres, want.SteamLitres}, {"hot water litres", got.HotWaterLitres, want.HotWaterLitres},
		{"hot hours", got.HotHours, want.HotHours},
	}
	for _, p := range pairs {
		if !near(p.got, p.want) {
			t.Errorf("%s: %s %v, want %v", where, p.name, p.got, p.want)
		}
	}
	if got.Logged != want.Logged {
		t.Errorf("%s: logged %t, want %t", where, got.Logged, want.Logged)
	}
}

// The sums stand in the rows so that they can be followed by hand: grams in the
// cup, in the puck, for a flush of 30 g a shot, for 100 g of warm-up a day, and
// 25 g of steam a milk drink.
func TestExpectedDayByHand(t *testing.T) {
	tests := []struct {
		name    string
		setting record.Setting
		habit   record.Habit
		shots   float64
		want    Day
	}{
		{"four doubles, half of them with milk", record.Home,
			record.Habit{DoseGrams: 18, YieldGrams: 36, SteamedShare: new(0.5), HotHours: 5}, 4,
			Day{Shots: 4, Kilograms: 4 * 18 / 1000., BrewLitres: (4*36 + 4*18 + 4*30 + 100) / 1000., SteamLitres: 2 * 25 / 1000., HotHours: 5}},
		{"one single", record.Home,
			record.Habit{DoseGrams: 8, YieldGrams: 20, HotHours: 1}, 1,
			Day{Shots: 1, Kilograms: 0.008, BrewLitres: (20 + 8 + 30 + 100) / 1000., HotHours: 1}},
		{"nothing said: a double of 18 to 36 g, two hours hot at home", record.Home,
			record.Habit{}, 2,
			Day{Shots: 2, Kilograms: 0.036, BrewLitres: (2*36 + 2*18 + 2*30 + 100) / 1000., HotHours: 2}},
		{"a dose alone: twice of it in the cup", record.Home,
			record.Habit{DoseGrams: 14}, 1,
			Day{Shots: 1, Kilograms: 0.014, BrewLitres: (28 + 14 + 30 + 100) / 1000., HotHours: 2}},
		{"a bar is hot for fourteen hours", record.Bar,
			record.Habit{SteamedShare: new(1.), HotWaterLitres: new(3.)}, 300,
			Day{Shots: 300, Kilograms: 5.4, BrewLitres: (300*36 + 300*18 + 300*30 + 100) / 1000., SteamLitres: 300 * 0.025, HotWaterLitres: 3, HotHours: 14}},
		{"hot water alone", record.Home,
			record.Habit{HotWaterLitres: new(0.5)}, 0,
			Day{BrewLitres: 0.1, HotWaterLitres: 0.5, HotHours: 2}},
		{"half a shot a day is one every other day, with its warm-up and its hours", record.Home,
			record.Habit{DoseGrams: 18, YieldGrams: 36, HotHours: 3}, 0.5,
			Day{Shots: 0.5, Kilograms: 0.009, BrewLitres: 0.5 * (36 + 18 + 30 + 100) / 1000., HotHours: 1.5}},
		{"milk for two, however many are drunk", record.Home,
			record.Habit{DoseGrams: 18, YieldGrams: 36, SteamedShots: 2, HotHours: 3}, 6,
			Day{Shots: 6, Kilograms: 0.108, BrewLitres: (6*36 + 6*18 + 6*30 + 100) / 1000., SteamLitres: 0.05, HotHours: 3}},
		{"its owner's own figures, none of them common practice", record.Home,
			record.Habit{DoseGrams: 18, YieldGrams: 36, SteamedShare: new(1.), HotHours: 3, FlushBeforeGrams: new(40.), FlushAfterGrams: new(0.),
				WarmUpGrams: new(250.), PuckGramsPerGram: new(0.8), SteamGrams: new(40.)}, 2,
			Day{Shots: 2, Kilograms: 0.036, BrewLitres: (2*36 + 0.8*2*18 + 2*40 + 250) / 1000., SteamLitres: 0.08, HotHours: 3}},
		{"nothing drunk: switched off", record.Home,
			record.Habit{SteamedShare: new(0.5), HotHours: 5}, 0, Day{}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d := drinksOf(test.setting, test.habit)
			checkDay(t, test.name, d.expected(monday, test.shots), test.want)
		})
	}
}

func TestLoggedDayByHand(t *testing.T) {
	d := drinksOf(record.Home, record.Habit{DoseGrams: 18, YieldGrams: 36, SteamedShare: new(0.5), HotHours: 3})
	tests := []struct {
		name string
		day  record.UseDay
		want Day
	}{
		{"all written down", record.UseDay{Shots: 3, DosedShots: 3, DoseGrams: 51, YieldShots: 3, YieldGrams: 120, Steamed: 1, HotWaterLitres: 0.3},
			Day{Shots: 3, Kilograms: 0.051, BrewLitres: (120 + 51 + 3*30 + 100) / 1000., SteamLitres: 0.025, HotWaterLitres: 0.3, HotHours: 3, Logged: true}},
		{"shots alone: the habit's dose and yield, but no milk that nobody wrote down", record.UseDay{Shots: 3},
			Day{Shots: 3, Kilograms: 3 * 0.018, BrewLitres: (3*36 + 3*18 + 3*30 + 100) / 1000., HotHours: 3, Logged: true}},
		{"one dose of three", record.UseDay{Shots: 3, DosedShots: 1, DoseGrams: 20, YieldShots: 2, YieldGrams: 60},
			Day{Shots: 3, Kilograms: (20 + 2*18) / 1000., BrewLitres: (60 + 36 + 20 + 2*18 + 3*30 + 100) / 1000., HotHours: 3, Logged: true}},
		{"a day without a shot", record.UseDay{}, Day{Logged: true}},
		{"water alone", record.UseDay{HotWaterLitres: 1}, Day{BrewLitres: 0.1, HotWaterLitres: 1, HotHours: 3, Logged: true}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { checkDay(t, test.name, d.logged(test.day), test.want) })
	}
}

// The steam that heats milk, from the heat balance: 150 g from 5 to 60 °C at
// 3.9 kJ/(kg·K), the specific heat of whole milk (from memory),
// against 2.2 MJ/kg of condensing steam and its water cooling from 100 to 60 °C.
func TestSteamForMilkByHeat(t *testing.T) {
	heatKJ := 0.150 * 3.9 * (60 - 5)
	perKilogramKJ := 2200 + 4.2*(100-60)
	steam := 1000 * heatKJ / perKilogramKJ
	if steam < 12 || steam > 15 {
		t.Fatalf("the balance gives %.1f g of steam", steam)
	}
	// Purging before and after takes about as much again.
	if steamGrams < 1.7*steam || steamGrams > 2.2*steam {
		t.Errorf("%v g a drink, the balance gives %.1f g and as much again", steamGrams, steam)
	}
}

func TestLitresAreAllThatTheLineGave(t *testing.T) {
	if got := (Day{BrewLitres: 0.4, SteamLitres: 0.7, HotWaterLitres: 0.2}).Litres(); !near(got, 1.3) {
		t.Errorf("litres %v, want 1.3", got)
	}
}
