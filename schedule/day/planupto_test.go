package day_test

import (
	"reflect"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// Fewer months of a plan are its beginning, and no other plan.
func TestPlanUpToADayIsItsBeginning(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	whole := d.Forecast(t, schedule.Moment{Today: today}).Plan()
	last := today.AddMonths(4)
	part := whole.UpTo(last)
	n := len(part.Sittings)
	if n == 0 || n >= len(whole.Sittings) || !reflect.DeepEqual(part.Sittings, whole.Sittings[:n]) {
		t.Fatalf("%d of %d sittings, which are not the first", n, len(whole.Sittings))
	}
	if record.DateOf(part.Sittings[n-1].Start) > last || record.DateOf(whole.Sittings[n].Start) <= last || part.Until != last {
		t.Errorf("it is cut elsewhere than on %s", last)
	}
	if again := whole.UpTo(whole.Until.AddMonths(1)); !reflect.DeepEqual(again, whole) {
		t.Error("up to a later day than it holds it is another")
	}
}
