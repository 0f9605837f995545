package use_test

import (
	"testing"

	"limekeep/schedule/record"
	"limekeep/schedule/use"
)

// What is odd at home need not be in a bar. The first of each are everyday
// (common practice); 150 litres at home are millilitres.
func TestUnusual(t *testing.T) {
	home := record.Machine{Setting: record.Home, Groups: []record.Group{{ID: "g"}}}
	bar := record.Machine{Setting: record.Bar, Groups: []record.Group{{ID: "l"}, {ID: "r"}}}
	shot := func(change func(*record.UseRow)) record.UseRow {
		r := record.UseRow{Date: record.NewDate(2026, 3, 2), Minute: 460, Shots: 1, DoseGrams: 18, YieldGrams: 36, Seconds: 28}
		change(&r)
		return r
	}
	for _, c := range []struct {
		name    string
		machine record.Machine
		row     record.UseRow
		want    []use.OddSort
	}{
		{"a shot", home, shot(func(*record.UseRow) {}), nil},
		{"a single ristretto", home, shot(func(r *record.UseRow) { r.DoseGrams, r.YieldGrams, r.Seconds = 7, 10, 15 }), nil},
		{"a triple lungo", home, shot(func(r *record.UseRow) { r.DoseGrams, r.YieldGrams, r.Seconds = 25, 110, 60 }), nil},
		{"a pot of tea", home, shot(func(r *record.UseRow) { r.HotWaterLitres = 1.5 }), nil},
		{"150 litres", home, shot(func(r *record.UseRow) { r.HotWaterLitres = 150 }), []use.OddSort{use.MuchHotWater}},
		{"the hot water of a day in a bar", bar, shot(func(r *record.UseRow) { r.Shots, r.HotWaterLitres = 300, 40 }), nil},
		{"50 litres for a shot in a bar", bar, shot(func(r *record.UseRow) { r.HotWaterLitres = 50 }), []use.OddSort{use.MuchHotWater}},
		{"the shots of a day in a bar", bar, shot(func(r *record.UseRow) { r.Shots = 600 }), nil},
		{"600 shots at home", home, shot(func(r *record.UseRow) { r.Shots = 600 }), []use.OddSort{use.ManyShots}},
		{"less than a sip", home, shot(func(r *record.UseRow) { r.HotWaterLitres = 0.0002 }), []use.OddSort{use.LittleHotWater}},
		{"swapped", home, shot(func(r *record.UseRow) { r.DoseGrams, r.YieldGrams = 36, 18 }), []use.OddSort{use.Swapped}},
		{"too much coffee", home, shot(func(r *record.UseRow) { r.DoseGrams, r.YieldGrams = 36, 72 }), []use.OddSort{use.OddDose}},
		{"ounces in the cup", home, shot(func(r *record.UseRow) { r.YieldGrams = 1.3 }), []use.OddSort{use.OddYield}},
		{"half a litre in the cup", bar, shot(func(r *record.UseRow) { r.YieldGrams = 450 }), []use.OddSort{use.OddYield}},
		{"minutes for seconds", home, shot(func(r *record.UseRow) { r.Seconds = 0.28 }), []use.OddSort{use.OddSeconds}},
		{"the third in a minute", home, shot(func(r *record.UseRow) { r.Ordinal = 2 }), []use.OddSort{use.SameMinute}},
		{"the third in a minute of two groups", bar, shot(func(r *record.UseRow) { r.Ordinal = 2 }), nil},
		{"the third of a day without times", home, shot(func(r *record.UseRow) { r.Minute, r.Ordinal = -1, 2 }), nil},
	} {
		odd := use.Unusual(c.row, c.machine)
		if len(odd) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, odd, c.want)
			continue
		}
		for i, o := range odd {
			if o.Sort != c.want[i] || o.What == "" || o.Field == "" {
				t.Errorf("%s: %+v, want %v", c.name, o, c.want[i])
			}
		}
	}
}
