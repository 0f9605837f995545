package main

import (
	"bytes"
	"context"
	"fmt"
	"iter"
	"math"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/water"
)

// fillDemo writes the demo's year down, each record on its own day. All of it is
// invented.
func fillDemo(ctx context.Context, h *house, m schedule.Moment) (schedule.Moment, error) {
	// The office bought the machine used fourteen months before the day the demo is
	// looked at, whichever day that is. What was done to it before nobody knows.
	d, m, err := setUpInvented(ctx, h, m, demoPlace, func(e *record.Equipment, today record.Date) {
		e.Bought = today.AddMonths(-14)
		e.RecordsFrom = e.Bought
	})
	if err != nil {
		return m, err
	}
	if err := demoWater(ctx, h.journal, d); err != nil {
		return m, err
	}
	for _, s := range demoServices {
		if _, err := h.journal.Done(ctx, d, d.Today-s.daysAgo, s.service); err != nil {
			return m, fmt.Errorf("%s: %w", s.service.Task, err)
		}
	}
	// Two weeks of summer, and the days between the years to come.
	for _, away := range []record.Away{{From: m.Today - 110, To: m.Today - 97}, {From: m.Today + 27, To: m.Today + 36}} {
		if _, err := h.journal.AddAway(ctx, d, away); err != nil {
			return m, err
		}
	}
	if _, err = h.journal.ImportUse(ctx, d, schedule.UseFile{Machine: "machine", Name: "a-year-of-shots.csv"}, demoShots(m.Today.AddMonths(-12), m.Today-1)); err != nil {
		return m, err
	}
	if err := demoChecks(ctx, h.journal, d); err != nil {
		return m, err
	}
	if d, err = h.days.Open(ctx, m); err != nil {
		return m, err
	}
	return m, demoCare(ctx, h.journal, d)
}

// setUpInvented sets a place up of which each piece of equipment is given its days
// first, counted from today, and opens the day.
func setUpInvented(ctx context.Context, h *house, m schedule.Moment, place []byte, date func(e *record.Equipment, today record.Date)) (*day.Day, schedule.Moment, error) {
	setup, err := placefile.Read(bytes.NewReader(place))
	if err != nil {
		return nil, m, err
	}
	if m.Today.IsZero() {
		zone, err := setup.Place.Location()
		if err != nil {
			return nil, m, err
		}
		m.Today = record.DateOf(h.days.Now().In(zone))
	}
	for i := range setup.Equipment {
		date(&setup.Equipment[i], m.Today)
	}
	if _, err := h.journal.SetUp(ctx, m.Today, setup); err != nil {
		return nil, m, err
	}
	m.Place = setup.Place.ID
	d, err := h.days.Open(ctx, m)
	return d, m, err
}

// demoWater writes three tests down: a careful one of the mains, one behind the
// cartridge, a quick one.
func demoWater(ctx context.Context, j *journal.Journal, d *day.Day) error {
	drop := func(q water.Quantity, degrees float64) water.Measured {
		return water.Measured{Quantity: q, Value: degrees, Unit: water.GermanDegree, Method: water.MethodDrop}
	}
	ph := water.Measured{Quantity: water.PH, Value: 7.6, Unit: water.PHUnit, Method: water.MethodMeter}
	for _, t := range []struct {
		daysAgo record.Date
		after   string
		values  []water.Measured
	}{
		{398, "", []water.Measured{drop(water.Hardness, 17), drop(water.Alkalinity, 13), ph}},
		{201, "softener", []water.Measured{drop(water.Hardness, 6), drop(water.Alkalinity, 13)}},
		{61, "", []water.Measured{drop(water.Hardness, 18), drop(water.Alkalinity, 14)}},
	} {
		if _, err := j.AddWaterTest(ctx, d, d.Today-t.daysAgo, record.WaterTest{Line: "water", After: t.after, Test: water.Test{Values: t.values}}); err != nil {
			return err
		}
	}
	return nil
}

// demoServices are the year's services. The first descaling is the surprise: nobody
// had told of a crust.
var demoServices = []struct {
	daysAgo record.Date
	service record.Service
}{
	{402, record.Service{Task: "machine/descale/steam", Finding: record.Crust, Grams: 16, Note: "more than anybody thought: it came so"}},
	{402, record.Service{Task: "machine/descale/brew", Finding: record.Film, Grams: 3}},
	{395, record.Service{Task: "machine/group-gasket/group", Finding: record.Worn}},
	{390, record.Service{Task: "grinder/burr-cleaning"}},
	{330, record.Service{Task: "machine/backflush-detergent/group"}},
	{270, record.Service{Task: "machine/soak-screen/group", Finding: record.Worn}},
	{135, record.Service{Task: "machine/descale/steam", Finding: record.Film, Grams: 5, Note: "citric acid, two baths"}},
	{130, record.Service{Task: "machine/descale/brew", Finding: record.Film, Grams: 2, Note: "at the workshop"}},
	{205, record.Service{Task: "water/cartridge/softener", Finding: record.Worn}},
	{150, record.Service{Task: "grinder/burr-cleaning"}},
	{120, record.Service{Task: "machine/soak-screen/group", Finding: record.Fresh}},
	{90, record.Service{Task: "machine/steam-refresh/steam"}},
	{100, record.Service{Task: "grinder/deep-clean"}},
	{45, record.Service{Task: "machine/backflush-detergent/group"}},
	{24, record.Service{Task: "grinder/burr-cleaning"}},
	{17, record.Service{Task: "machine/backflush-detergent/group", Finding: record.Worn}},
	{17, record.Service{Task: "machine/soak-screen/group", Finding: record.Fresh}},
	{2, record.Service{Task: "machine/backflush-water/group"}},
}

// demoShots invents the office's log: working days alone, two weeks of summer without.
// The pattern is plain arithmetic, so that the demo shows the same on the same day.
func demoShots(first, last record.Date) iter.Seq2[record.UseRow, error] {
	return func(yield func(record.UseRow, error) bool) {
		for day := first; day <= last; day++ {
			if day.Weekend() || day >= last-109 && day <= last-96 {
				continue
			}
			n := int(day - first)
			for i := range 13 + (n*7+n/5)%6 {
				row := record.UseRow{
					Date: day, Minute: 8*60 + i*29 + (n*11+i*5)%17, Shots: 1,
					DoseGrams: 18 + float64((n+i)%3-1)*0.2, YieldGrams: 37 + float64((n*3+i)%5)*0.5, Seconds: 28 + float64((n+2*i)%5),
				}
				if (n+i)%5 < 2 {
					row.Steamed = 1
				}
				if i%4 == 0 {
					row.HotWaterLitres = 0.2
				}
				if !yield(row, nil) {
					return
				}
			}
		}
	}
}

// demoChecks writes a year of condition checks down: a jet that narrows, with one slip
// of the pen, and what holds steady.
func demoChecks(ctx context.Context, j *journal.Journal, d *day.Day) error {
	for i := range 9 {
		on, step := d.Today-record.Date(9+42*(8-i)), float64(i)
		grams := float64(1960-16*i+[]int{4, -6, 2}[i%3]) / 10 // as a scale shows it
		if i == 5 {
			grams = 121 // the group was not warm
		}
		checks := []record.Measurement{
			{Kind: record.Flow, Grams: grams, Seconds: 20},
			{Kind: record.ShotTime, Seconds: 28 + float64(i*5%3-1), Setting: 14 - math.Round(step*0.6)/2, DoseGrams: 18, YieldGrams: 36},
		}
		if i%3 == 0 {
			checks = append(checks,
				record.Measurement{Kind: record.PumpPressure, Bar: 9.1 + 0.1*float64(i%2)},
				record.Measurement{Kind: record.WarmUpTime, Part: "steam", Minutes: 12 + 0.1*step, FromCelsius: 20},
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
