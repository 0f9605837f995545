package record_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule/record"
)

// pointer returns the address of a figure that was said.
func pointer(x float64) *float64 { return &x }

// fullMachine is a machine of which all was said that can be left out.
func fullMachine() record.Machine {
	m := goodMachine()
	m.Pump, m.Control = record.RotaryPump, record.Controller
	m.Has, m.Lacks = []record.Fitting{record.Drain}, []record.Fitting{record.FlowMeter, record.PressureGauge}
	m.Habit = record.Habit{
		Since: record.NewDate(2025, 1, 1), WeekdayShots: 4, WeekendShots: 6, SteamedShots: 2,
		HotTimer:         []record.Timer{{On: "30 6 * * MON-FRI", Off: "0 9 * * MON-FRI"}},
		FlushBeforeGrams: pointer(20), FlushAfterGrams: pointer(0), WarmUpGrams: pointer(0), PuckGramsPerGram: pointer(1.1), SteamGrams: pointer(30),
		Drinks: []record.Drink{{Name: "long one", HotWaterLitres: 0.1}, {Name: "white one", Steamed: true}},
	}
	return m
}

func goodMeasurement() record.Measurement {
	return record.Measurement{Kind: record.ShotTime, Equipment: "grinder", Seconds: 28, Setting: -2.5, DoseGrams: 18, YieldGrams: 36, Note: "new beans"}
}

func goodOwnCare() record.OwnCare {
	return record.OwnCare{
		Changes: []record.CareChange{
			{Task: "backflush-water", Off: true},
			{Task: "group-gasket", Gauge: "hours hot, as at 95 °C", Low: 900, Usual: 1000, High: 1200, By: record.ByMaker},
			{Task: "cartridge", Months: 6, Note: "hard water"},
		},
		Tasks: []record.OwnTask{
			{ID: "oil-hinges", Title: "Oil the hinges", Equipment: "machine", Months: 3, Minutes: 10, Cautions: []string{"Wipe it off."}, Steps: []string{"Oil them."}},
			{ID: "oil-hinges", Title: "Oil the hinges", Equipment: "grinder", Days: 30},
			{ID: "knock-box", Title: "Scrub the knock box", Equipment: "machine", Driver: "shots", Limit: 200},
		},
	}
}

func goodAway() record.Away {
	return record.Away{Machine: "machine", From: record.NewDate(2026, 7, 1), To: record.NewDate(2026, 7, 21), Frost: true, Note: "the lake"}
}

func goodGuests() record.Guests {
	return record.Guests{From: record.NewDate(2026, 7, 1), To: record.NewDate(2026, 7, 2), Shots: 8, Note: "a party"}
}

func goodMeterReading() record.MeterReading {
	return record.MeterReading{Line: "tap", Litres: 12345.6, NewStart: pointer(0), RollsOverLitres: 99999, Note: "new meter"}
}

func goodBag() record.Bag {
	return record.Bag{Grinder: "grinder", Grams: 250, Opened: record.NewDate(2026, 2, 1), Beans: "a dark one", Note: "stale"}
}

func TestValidateWhatMayBeLeftOut(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	machine := func(change func(*record.Machine)) validator { return altered(fullMachine(), change) }
	habit := func(change func(*record.Habit)) validator { return altered(fullMachine().Habit, change) }
	grinder := func(change func(*record.Grinder)) validator { return altered(goodGrinder(), change) }
	line := func(change func(*record.WaterLine)) validator { return altered(goodLine(), change) }
	stage := func(change func(*record.Treatment)) validator { return altered(goodStage(), change) }
	tests := []struct {
		name  string
		value validator
		field string
	}{
		{"machine", fullMachine(), ""},
		{"machine with another pump", machine(func(m *record.Machine) { m.Pump = "steam" }), "pump"},
		{"machine with another control", machine(func(m *record.Machine) { m.Control = "luck" }), "control"},
		{"machine with a part of a grinder", machine(func(m *record.Machine) { m.Has = []record.Fitting{record.Hopper} }), "has[0]"},
		{"machine with a part twice", machine(func(m *record.Machine) { m.Has = []record.Fitting{record.Drain, record.Drain} }), "has[1]"},
		{"machine that has what it lacks", machine(func(m *record.Machine) { m.Lacks = []record.Fitting{record.Drain} }), "lacks[0]"},
		{"machine that lacks a part twice", machine(func(m *record.Machine) { m.Lacks = []record.Fitting{record.FlowMeter, record.FlowMeter} }), "lacks[1]"},
		{"machine that lacks a part of a line", machine(func(m *record.Machine) { m.Lacks = []record.Fitting{record.LeakSensor} }), "lacks[0]"},
		{"line with a part of a machine", line(func(l *record.WaterLine) { l.Has = []record.Fitting{record.Drain} }), "has[0]"},
		{"line with its parts", line(func(l *record.WaterLine) { l.Has = record.LineFittings() }), ""},
		{"group with a spring but no lever", altered(goodGroup(), func(g *record.Group) { g.Spring = true }), "spring"},
		{"group with a spring lever", altered(goodGroup(), func(g *record.Group) { g.Spring, g.Lever = true, true }), ""},
		{"group with lever and cam", altered(goodGroup(), func(g *record.Group) { g.Cam, g.Lever = true, true }), "cam"},

		{"grinder of ceramic", grinder(func(g *record.Grinder) {
			g.Material, g.Roast, g.SecondsPerClick = record.CeramicBurrs, record.DarkRoast, 2
		}), ""},
		{"grinder of wood", grinder(func(g *record.Grinder) { g.Material = "wood" }), "burr_material"},
		{"grinder of green beans", grinder(func(g *record.Grinder) { g.Roast = "green" }), "roast"},
		{"grinder without clicks", grinder(func(g *record.Grinder) { g.SecondsPerClick = 0.01 }), "seconds_per_click"},
		{"grinder with its parts", grinder(func(g *record.Grinder) { g.Has = record.GrinderFittings() }), ""},
		{"grinder with a drain", grinder(func(g *record.Grinder) { g.Has = []record.Fitting{record.Drain} }), "has[0]"},

		{"mixed exchanger", stage(func(s *record.Treatment) { s.Kind, s.Hydrogen = record.Mixed, 0.6 }), ""},
		{"mixed exchanger of one sort", stage(func(s *record.Treatment) { s.Kind = record.Mixed }), "hydrogen_share"},
		{"mixed exchanger in per cent", stage(func(s *record.Treatment) { s.Kind, s.Hydrogen = record.Mixed, 60 }), "hydrogen_share"},
		{"membrane without litres", record.Treatment{ID: "ro", Kind: record.ReverseOsmosis, BypassShare: 0.2}, ""},

		{"tools", record.Tools{Setting: record.Home, Have: []record.Tool{record.WeighingScale, record.Thermometer}}, ""},
		{"tools of nobody", record.Tools{Have: []record.Tool{record.Tamper}}, "setting"},
		{"no tools", record.Tools{Setting: record.Home}, "have"},
		{"tools with a hammer", record.Tools{Setting: record.Home, Have: []record.Tool{"hammer"}}, "have[0]"},
		{"tools twice", record.Tools{Setting: record.Home, Have: []record.Tool{record.Tamper, record.Tamper}}, "have[1]"},

		{"habit", fullMachine().Habit, ""},
		{"habit of milk both ways", habit(func(h *record.Habit) { h.SteamedShare = new(0.5) }), "steamed_shots"},
		{"habit of hours both ways", habit(func(h *record.Habit) { h.HotHours = 3 }), "hot_hours"},
		{"habit of a waterfall", habit(func(h *record.Habit) { h.FlushBeforeGrams = pointer(501) }), "flush_before_grams"},
		{"habit of less than no flush", habit(func(h *record.Habit) { h.FlushAfterGrams = pointer(-1) }), "flush_after_grams"},
		{"habit of a warm-up of no number", habit(func(h *record.Habit) { h.WarmUpGrams = pointer(nan) }), "warm_up_grams"},
		{"habit of a sponge", habit(func(h *record.Habit) { h.PuckGramsPerGram = pointer(4) }), "puck_grams_per_gram"},
		{"habit of a sauna", habit(func(h *record.Habit) { h.SteamGrams = pointer(inf) }), "steam_grams"},
		{"habit of more milk than a bar", habit(func(h *record.Habit) { h.SteamedShots = 3001 }), "steamed_shots"},
		{"habit with a timer that is none", habit(func(h *record.Habit) { h.HotTimer[0].Off = "late" }), "hot_timer[0].off"},
		{"habit with a drink without a name", habit(func(h *record.Habit) { h.Drinks = []record.Drink{{Name: " "}} }), "drinks[0].name"},
		{"habit with a drink twice", habit(func(h *record.Habit) { h.Drinks = []record.Drink{{Name: "a"}, {Name: "A"}} }), "drinks[1].name"},
		{"habit with a drink with a long name", habit(func(h *record.Habit) { h.Drinks = []record.Drink{{Name: strings.Repeat("x", 61)}} }), "drinks[0].name"},
		{"habit with a drink of a bucket", habit(func(h *record.Habit) { h.Drinks = []record.Drink{{Name: "a", HotWaterLitres: 3}} }), "drinks[0].hot_water_litres"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { check(t, test.value, test.field) })
	}
}

func TestValidateWhatIsWrittenBeside(t *testing.T) {
	nan := math.NaN()
	away := func(change func(*record.Away)) validator { return altered(goodAway(), change) }
	guests := func(change func(*record.Guests)) validator { return altered(goodGuests(), change) }
	reading := func(change func(*record.MeterReading)) validator { return altered(goodMeterReading(), change) }
	bag := func(change func(*record.Bag)) validator { return altered(goodBag(), change) }
	row := func(change func(*record.UseRow)) validator { return altered(goodRow(), change) }
	long := strings.Repeat("x", 1001)
	tests := []struct {
		name  string
		value validator
		field string
	}{
		{"away", goodAway(), ""},
		{"away until further notice", away(func(a *record.Away) { a.To, a.Machine = 0, "" }), ""},
		{"away from no day", away(func(a *record.Away) { a.From = 0 }), "from"},
		{"away that ends before it begins", away(func(a *record.Away) { a.To = a.From - 1 }), "to"},
		{"away of a machine with a space", away(func(a *record.Away) { a.Machine = "the machine" }), "machine"},
		{"away with a long note", away(func(a *record.Away) { a.Note = long }), "note"},

		{"guests", goodGuests(), ""},
		{"guests for ever", guests(func(g *record.Guests) { g.To = 0 }), "to"},
		{"guests from no day", guests(func(g *record.Guests) { g.From = 0 }), "from"},
		{"guests that leave before they come", guests(func(g *record.Guests) { g.To = g.From - 1 }), "to"},
		{"guests that drink nothing", guests(func(g *record.Guests) { g.Shots = 0 }), "shots"},
		{"guests that bring some", guests(func(g *record.Guests) { g.Shots = -1 }), "shots"},
		{"guests of no number", guests(func(g *record.Guests) { g.Shots = nan }), "shots"},

		{"reading", goodMeterReading(), ""},
		{"reading of a new meter", record.MeterReading{Line: "tap"}, ""},
		{"reading of no line", reading(func(r *record.MeterReading) { r.Line = "" }), "line"},
		{"reading below nothing", reading(func(r *record.MeterReading) { r.Litres = -1 }), "litres"},
		{"reading of no number", reading(func(r *record.MeterReading) { r.Litres = nan }), "litres"},
		{"new meter below nothing", reading(func(r *record.MeterReading) { r.NewStart = pointer(-1) }), "new_start"},
		{"reading that the meter cannot show", reading(func(r *record.MeterReading) { r.Litres = 99999 }), "litres"},
		{"meter that holds nothing", reading(func(r *record.MeterReading) { r.RollsOverLitres = 0.5 }), "rolls_over_litres"},
		{"reading with a long note", reading(func(r *record.MeterReading) { r.Note = long }), "note"},

		{"bag", goodBag(), ""},
		{"bag opened on no day", bag(func(b *record.Bag) { b.Opened = 0 }), ""},
		{"bag of no grinder", bag(func(b *record.Bag) { b.Grinder = "" }), "grinder"},
		{"empty bag", bag(func(b *record.Bag) { b.Grams = 0 }), "grams"},
		{"sack", bag(func(b *record.Bag) { b.Grams = 60_000 }), "grams"},
		{"bag of a poem", bag(func(b *record.Bag) { b.Beans = strings.Repeat("x", 201) }), "beans"},
		{"bag with a long note", bag(func(b *record.Bag) { b.Note = long }), "note"},

		{"row in words", row(func(r *record.UseRow) { r.Grind, r.Drink, r.Beans, r.Note = "12 ½", "white one", "a dark one", "slow" }), ""},
		{"row with a long grind", row(func(r *record.UseRow) { r.Grind = strings.Repeat("x", 61) }), "grind"},
		{"row with a long drink", row(func(r *record.UseRow) { r.Drink = strings.Repeat("x", 61) }), "drink"},
		{"row with beans of a poem", row(func(r *record.UseRow) { r.Beans = strings.Repeat("x", 201) }), "beans"},
		{"row with a control character", row(func(r *record.UseRow) { r.Note = "\x1b[2J" }), "note"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { check(t, test.value, test.field) })
	}
}

func TestValidateMeasurement(t *testing.T) {
	good := []record.Measurement{
		{Kind: record.Flow, Equipment: "machine", Part: "group", Grams: 60, Seconds: 10},
		{Kind: record.WarmUpTime, Equipment: "machine", Part: "brew", Minutes: 7.5},
		{Kind: record.WarmUpTime, Equipment: "machine", Part: "brew", Minutes: 7.5, FromCelsius: 18},
		{Kind: record.ShotTime, Equipment: "grinder", Seconds: 30, DoseGrams: 18, YieldGrams: 36},
		goodMeasurement(),
		{Kind: record.BrewTemperature, Equipment: "machine", Part: "group", Celsius: 92.5},
		{Kind: record.PumpPressure, Equipment: "machine", Bar: 9.5},
		{Kind: record.ReferenceMass, Equipment: "bench", ShownGrams: 199.8, MassGrams: 200},
	}
	var kinds []string
	for _, m := range good {
		check(t, m, "")
		kinds = append(kinds, string(m.Kind))
	}
	for _, kind := range record.Flow.Choices() {
		if !slices.Contains(kinds, kind) {
			t.Errorf("no measurement of kind %s was tried", kind)
		}
	}
	change := func(i int, f func(*record.Measurement)) validator { return altered(good[i], f) }
	tests := []struct {
		name  string
		value validator
		field string
	}{
		{"another kind", change(0, func(m *record.Measurement) { m.Kind = "taste" }), "kind"},
		{"no equipment", change(0, func(m *record.Measurement) { m.Equipment = "" }), "equipment"},
		{"an odd part", change(0, func(m *record.Measurement) { m.Part = "/" }), "part"},
		{"no grams", change(0, func(m *record.Measurement) { m.Grams = 0 }), "grams"},
		{"no seconds", change(0, func(m *record.Measurement) { m.Seconds = 0 }), "seconds"},
		{"flow with a pressure", change(0, func(m *record.Measurement) { m.Bar = 9 }), "bar"},
		{"flow with a dose of no number", change(0, func(m *record.Measurement) { m.DoseGrams = math.NaN() }), "dose_grams"},
		{"a warm-up of a day", change(1, func(m *record.Measurement) { m.Minutes = 181 }), "minutes"},
		{"a warm-up from the boil", change(1, func(m *record.Measurement) { m.FromCelsius = 100 }), "from_celsius"},
		{"a shot without time", change(3, func(m *record.Measurement) { m.Seconds = 0 }), "seconds"},
		{"a shot with grams caught", change(3, func(m *record.Measurement) { m.Grams = 36 }), "grams"},
		{"a shot at no setting", change(3, func(m *record.Measurement) { m.Setting = math.NaN() }), "setting"},
		{"brewing in fahrenheit", change(5, func(m *record.Measurement) { m.Celsius = 200 }), "celsius"},
		{"a pump in psi", change(6, func(m *record.Measurement) { m.Bar = 130 }), "bar"},
		{"a scale that shows nothing", change(7, func(m *record.Measurement) { m.ShownGrams = 0 }), "shown_grams"},
		{"no mass", change(7, func(m *record.Measurement) { m.MassGrams = 0 }), "mass_grams"},
		{"a long note", change(7, func(m *record.Measurement) { m.Note = strings.Repeat("x", 1001) }), "note"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { check(t, test.value, test.field) })
	}
}

func TestValidateOwnCare(t *testing.T) {
	care := func(change func(*record.OwnCare)) validator {
		c := goodOwnCare()
		change(&c)
		return c
	}
	tests := []struct {
		name  string
		value validator
		field string
	}{
		{"whole", goodOwnCare(), ""},
		{"nothing", record.OwnCare{}, ""},
		{"a limit alone", record.CareChange{Task: "a", Usual: 3}, ""},
		{"a change of nothing", record.CareChange{Off: true}, "task"},
		{"a change that changes nothing", record.CareChange{Task: "a"}, "off"},
		{"off and a limit", record.CareChange{Task: "a", Off: true, Usual: 3}, "off"},
		{"months and a limit", record.CareChange{Task: "a", Months: 3, High: 3}, "off"},
		{"a gauge beside months", record.CareChange{Task: "a", Months: 3, Gauge: "g"}, "gauge"},
		{"no months", record.CareChange{Task: "a", Months: 0.01}, "months"},
		{"a low limit alone", record.CareChange{Task: "a", Low: 3}, "usual"},
		{"a low limit above the usual", record.CareChange{Task: "a", Low: 4, Usual: 3}, "low"},
		{"a high limit below the usual", record.CareChange{Task: "a", Usual: 3, High: 2}, "high"},
		{"a limit of no number", record.CareChange{Task: "a", Usual: math.NaN()}, "usual"},
		{"a low limit of no number", record.CareChange{Task: "a", Low: math.NaN(), Usual: 1}, "low"},
		{"a high limit without end", record.CareChange{Task: "a", Usual: 1, High: math.Inf(1)}, "high"},
		{"another's figure", record.CareChange{Task: "a", Usual: 3, By: "neighbour"}, "by"},
		{"a change with a control character", record.CareChange{Task: "a", Usual: 3, Note: "\x00"}, "note"},
		{"the second of several", care(func(c *record.OwnCare) { c.Changes[1].Low = 5000 }), "changes[1].low"},

		{"a task without id", record.OwnTask{Title: "t", Equipment: "m", Days: 3}, "id"},
		{"a task without title", record.OwnTask{ID: "t", Equipment: "m", Days: 3}, "title"},
		{"a task of nothing", record.OwnTask{ID: "t", Title: "t", Days: 3}, "equipment"},
		{"a task that never comes", record.OwnTask{ID: "t", Title: "t", Equipment: "m"}, "months"},
		{"a task that comes two ways", record.OwnTask{ID: "t", Title: "t", Equipment: "m", Days: 3, Months: 1}, "months"},
		{"a task by the moon", record.OwnTask{ID: "t", Title: "t", Equipment: "m", Driver: "moon", Limit: 1}, "driver"},
		{"a task of no limit", record.OwnTask{ID: "t", Title: "t", Equipment: "m", Driver: "shots"}, "limit"},
		{"a limit of nothing", record.OwnTask{ID: "t", Title: "t", Equipment: "m", Limit: 5}, "driver"},
		{"a task of half a day", record.OwnTask{ID: "t", Title: "t", Equipment: "m", Days: 0.5}, "days"},
		{"a task of a century", record.OwnTask{ID: "t", Title: "t", Equipment: "m", Months: 1200}, "months"},
		{"a task that takes no time to speak of", record.OwnTask{ID: "t", Title: "t", Equipment: "m", Days: 3, Minutes: 0.1}, "minutes"},
		{"a step with a control character", record.OwnTask{ID: "t", Title: "t", Equipment: "m", Days: 3, Steps: []string{"a", "\x07"}}, "steps[1]"},
		{"a long caution", record.OwnTask{ID: "t", Title: "t", Equipment: "m", Days: 3, Cautions: []string{strings.Repeat("x", 501)}}, "cautions[0]"},
		{"a task twice", care(func(c *record.OwnCare) { c.Tasks[1].Equipment = "machine" }), "tasks[1].id"},
		{"the third of several", care(func(c *record.OwnCare) { c.Tasks[2].Driver = "moon" }), "tasks[2].driver"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { check(t, test.value, test.field) })
	}
	for _, driver := range record.OwnDrivers() {
		check(t, record.OwnTask{ID: "t", Title: "t", Equipment: "m", Driver: driver, Limit: 1}, "")
	}
}
