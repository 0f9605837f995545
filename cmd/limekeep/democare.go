package main

import (
	"context"
	"fmt"
	"math"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// demoCare writes down that the rest of the care was done in its time: each task
// that nothing was said of yet, and that would be overdue, once, so long ago as a part of its own interval.
// The parts are plain arithmetic, so that the demo shows the same on the same
// day.
func demoCare(ctx context.Context, j *journal.Journal, d *day.Day) error {
	f, err := d.Forecast(ctx)
	if err != nil {
		return err
	}
	dues := f.Due()
	for i, t := range d.Tasks() {
		k := slices.IndexFunc(dues, func(x day.Due) bool { return x.Task == t.Task })
		if k < 0 || dues[k].Served != 0 || t.Records != "" || !dues[k].Overdue {
			continue // it rests, was done, is done by measuring, or had no need yet
		}
		days := record.Date(demoInterval(t) * (0.25 + 0.6*math.Mod(float64(i)*0.618, 1)))
		if days == 0 || days > d.Today-dues[k].Fresh {
			continue // younger than its interval
		}
		if _, err := j.Done(ctx, d, d.Today-days, record.Service{Task: t.Task}); err != nil {
			return fmt.Errorf("%s: %w", t.Task, err)
		}
	}
	return nil
}

// demoInterval is how often a task comes round by the calendar, in days; a year
// and a half where it is not the calendar that brings it round.
func demoInterval(t day.TaskInfo) float64 {
	for _, g := range t.Gauges {
		if g.Driver == care.ByDays {
			return g.Usual
		}
	}
	return 540
}

// demoChecks writes a year of condition checks down: a jet that narrows, with
// one slip of the pen, burrs that lose their edge, and what holds steady.
func demoChecks(ctx context.Context, j *journal.Journal, d *day.Day) error {
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
