package main

import (
	"context"
	_ "embed"
	"fmt"
	"iter"
	"math"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/water"
)

// testKitchen is an invented kitchen.
//
//go:embed testdata/kitchen.yaml
var testKitchen []byte

// fillKitchen writes a year in that kitchen down, each record on its own day.
func fillKitchen(ctx context.Context, h *house, m schedule.Moment) (schedule.Moment, error) {
	// The kitchen was fitted out five years before the day it is looked
	// at, whichever day that is. Its log starts a year before it; until then the
	// habit stands in.
	d, m, err := setUpInvented(ctx, h, m, testKitchen, func(e *record.Equipment, today record.Date) {
		e.Bought = today.AddMonths(-60)
		e.RecordsFrom = e.Bought
		e.LookedAfter = today - 61 // a thorough day two months ago
	})
	if err != nil {
		return m, err
	}
	if err := kitchenWater(ctx, h.journal, d); err != nil {
		return m, err
	}
	if err := kitchenServices(ctx, h.journal, d); err != nil {
		return m, err
	}
	first := m.Today.AddMonths(-12)
	if _, err = h.journal.ImportUse(ctx, d, schedule.UseFile{Machine: "machine", Name: "a-year-of-shots.csv"}, kitchenShots(first, m.Today-1)); err != nil {
		return m, err
	}
	if err := kitchenChecks(ctx, h.journal, d); err != nil {
		return m, err
	}
	if d, err = h.days.Open(ctx, m); err != nil {
		return m, err
	}
	return m, demoCare(ctx, h.journal, d)
}

// kitchenWater writes three tests of the tap down: a careful one, and two quick
// ones after it.
func kitchenWater(ctx context.Context, j *journal.Journal, d *day.Day) error {
	value := func(q water.Quantity, x float64, u water.Unit, by water.Method) water.Measured {
		return water.Measured{Quantity: q, Value: x, Unit: u, Method: by}
	}
	for _, t := range []struct {
		daysAgo record.Date
		values  []water.Measured
	}{
		{1790, []water.Measured{
			value(water.Hardness, 13, water.GermanDegree, water.MethodDrop),
			value(water.Alkalinity, 10, water.GermanDegree, water.MethodDrop),
			value(water.PH, 7.5, water.PHUnit, water.MethodMeter),
			value(water.Conductivity, 470, water.MicrosiemensPerCm, water.MethodMeter),
		}},
		{371, []water.Measured{
			value(water.Hardness, 14, water.GermanDegree, water.MethodDrop),
			value(water.Alkalinity, 10, water.GermanDegree, water.MethodDrop),
		}},
		{54, []water.Measured{
			value(water.Hardness, 14, water.GermanDegree, water.MethodDrop),
			value(water.Alkalinity, 11, water.GermanDegree, water.MethodDrop),
			value(water.PH, 7.6, water.PHUnit, water.MethodMeter),
		}},
	} {
		test := record.WaterTest{Line: "tap", Test: water.Test{Values: t.values}}
		if _, err := j.AddWaterTest(ctx, d, d.Today-t.daysAgo, test); err != nil {
			return err
		}
	}
	return nil
}

// kitchenServices writes the year's services down.
func kitchenServices(ctx context.Context, j *journal.Journal, d *day.Day) error {
	for _, s := range []struct {
		daysAgo record.Date
		service record.Service
	}{
		{1430, record.Service{Task: "tap/cartridge/filter"}},
		{1102, record.Service{Task: "machine/group-gasket/group", Finding: record.Worn}},
		{655, record.Service{Task: "machine/descale/brew", Finding: record.Film, Grams: 2.2}},
		{398, record.Service{Task: "machine/group-gasket/group", Finding: record.Fresh}},
		{1090, record.Service{Task: "machine/descale/steam", Finding: record.Film, Grams: 2.9}},
		{1090, record.Service{Task: "machine/descale/brew", Finding: record.Film}},
		{1070, record.Service{Task: "tap/cartridge/filter"}},
		{702, record.Service{Task: "tap/cartridge/filter", Finding: record.Worn}},
		{371, record.Service{Task: "tap/cartridge/filter"}},
		{330, record.Service{Task: "machine/backflush-detergent/group"}},
		{290, record.Service{Task: "machine/backflush-detergent/group", Finding: record.Worn}},
		{260, record.Service{Task: "hand-grinder/burr-cleaning"}},
		{230, record.Service{Task: "machine/soak-screen/group", Finding: record.Worn}},
		{212, record.Service{Task: "machine/descale/steam", Finding: record.Film, Grams: 3.4, Note: "citric acid, three baths"}},
		{150, record.Service{Task: "machine/backflush-detergent/group"}},
		{120, record.Service{Task: "hand-grinder/burr-cleaning"}},
		{61, record.Service{Task: "machine/soak-screen/group", Finding: record.Worn}},
		{46, record.Service{Task: "machine/soak-screen/group", Finding: record.Fresh}},
		{40, record.Service{Task: "tap/cartridge/filter"}},
		{33, record.Service{Task: "machine/steam-refresh/steam"}},
		{22, record.Service{Task: "machine/backflush-detergent/group", Finding: record.Worn}},
		{18, record.Service{Task: "hand-grinder/burr-cleaning"}},
		{11, record.Service{Task: "machine/soak-screen/group", Finding: record.Worn}},
		{3, record.Service{Task: "machine/backflush-water/group"}},
	} {
		if _, err := j.Done(ctx, d, d.Today-s.daysAgo, s.service); err != nil {
			return fmt.Errorf("%s: %w", s.service.Task, err)
		}
	}
	return nil
}

// kitchenShots invents a log: mornings, some afternoons, more at weekends, a
// fortnight away in the middle. The pattern is plain arithmetic, so that it
// is the same on the same day.
func kitchenShots(first, last record.Date) iter.Seq2[record.UseRow, error] {
	return func(yield func(record.UseRow, error) bool) {
		for day := first; day <= last; day++ {
			n := int(day - first)
			if n >= 240 && n < 254 {
				continue
			}
			shots := 3 + (n*7+n/5)%3
			if day.Weekend() {
				shots = 6 + (n*5+n/3)%4
			}
			for i := range shots {
				row := record.UseRow{
					Date: day, Minute: 7*60 + 20 + i*47 + (n*11+i*5)%17, Shots: 1,
					DoseGrams: 18 + float64((n+i)%3-1)*0.2, YieldGrams: 37 + float64((n*3+i)%5)*0.5, Seconds: 28 + float64((n+2*i)%5),
				}
				if (n+i)%5 < 2 {
					row.Steamed = 1
				}
				if i == 0 {
					row.HotWaterLitres = 0.2
				}
				if !yield(row, nil) {
					return
				}
			}
		}
	}
}

// kitchenChecks writes a year of condition checks down: a jet that narrows, with
// one slip of the pen, burrs that lose their edge, and what holds steady.
func kitchenChecks(ctx context.Context, j *journal.Journal, d *day.Day) error {
	for i := range 10 {
		on := d.Today - record.Date(6+35*(9-i))
		step := float64(i)
		grams := 185 - 1.1*step + []float64{0.4, -0.6, 0.2}[i%3]
		if i == 6 {
			grams = 118 // the group was not warm
		}
		checks := []record.Measurement{
			{Kind: record.Flow, Grams: grams, Seconds: 20},
			{Kind: record.ShotTime, Seconds: 28 + float64(i*5%3-1), Setting: 18 - math.Round(step*0.8)/2, DoseGrams: 18, YieldGrams: 36},
		}
		if i%3 == 0 {
			checks = append(checks,
				record.Measurement{Kind: record.PumpPressure, Bar: 9.1 + 0.1*float64(i%2)},
				record.Measurement{Kind: record.BrewTemperature, Celsius: 92 + 0.3*float64(i%2)},
				record.Measurement{Kind: record.WarmUpTime, Part: "brew", Minutes: 7.5 + 0.2*float64(i%2), FromCelsius: 21},
				record.Measurement{Kind: record.WarmUpTime, Part: "steam", Minutes: 11 + 0.2*float64(i%2), FromCelsius: 21},
				record.Measurement{Kind: record.ReferenceMass, ShownGrams: 99.9 + 0.1*float64(i%2), MassGrams: 100},
			)
		}
		for _, c := range checks {
			if _, err := j.Measure(ctx, d, on, c); err != nil {
				return fmt.Errorf("%s: %w", c.Kind, err)
			}
		}
	}
	return nil
}
