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
		if duty, err := d.Duty(t.Task); err != nil || duty.Task.TestsWater() {
			continue // done by writing the test down
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
