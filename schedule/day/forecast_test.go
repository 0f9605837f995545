package day_test

import (
	"context"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// What was worked out is asked for again without another look at the records, for
// as long as nothing it follows from has changed.
func TestOutlookIsKept(t *testing.T) {
	d, records := sample.SetUp(t, sample.Lever())
	ctx := context.Background()
	looks := func(m schedule.Moment) bool {
		t.Helper()
		before := records.Reads
		d.Forecast(t, m)
		return records.Reads != before
	}
	looks(at)
	for _, c := range []struct {
		what   string
		change func()
		m      schedule.Moment
		looks  bool
	}{
		{"nothing", func() {}, at, false},
		{"another day", func() {}, schedule.Moment{Today: today - 1}, true},
		{"a service", func() {
			if _, err := d.Journal.Done(ctx, d.Day(t, at), today, record.Service{Task: "soak-screen"}); err != nil {
				t.Fatal(err)
			}
		}, at, true},
		{"how far to plan", func() { d.PlanMonths = 6 }, at, true},
		{"how many worlds", func() { d.Worlds = 20 }, at, true},
	} {
		c.change()
		if got := looks(c.m); got != c.looks {
			t.Errorf("%s: looked %t, want %t", c.what, got, c.looks)
		}
		if looks(c.m) {
			t.Errorf("%s: looked again", c.what)
		}
	}
}

// The owner's own calendar is asked each time, since it changes without a record.
func TestOutlookFollowsTheOwnersCalendar(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Lever())
	days := record.Date(20)
	d.Busy = func(context.Context, string, plan.Busy, *time.Location) ([]plan.Busy, error) {
		return []plan.Busy{plan.Whole(today, today+days, time.UTC)}, nil
	}
	for _, days = range []record.Date{20, 40, 20} {
		p := d.Forecast(t, at).Plan()
		if first := record.DateOf(p.Sittings[0].Start); first <= today+days || first > today+days+14 {
			t.Errorf("busy for %d days, the first sitting is on %s", days, first)
		}
	}
}
