package wear

import (
	"testing"

	"limekeep/schedule/record"
	"limekeep/water"
)

// testedBy makes a test of hardness and alkalinity in German degrees by a method.
func testedBy(hardness, alkalinity float64, method water.Method) record.WaterTest {
	return record.WaterTest{Line: "tap", Test: water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: hardness, Unit: water.GermanDegree, Method: method},
		{Quantity: water.Alkalinity, Value: alkalinity, Unit: water.GermanDegree, Method: method},
	}}}
}

// waterTestOf forecasts the water test of a kitchen whose water was tested so many
// days ago.
func waterTestOf(t *testing.T, test record.WaterTest, daysAgo int) Outcome {
	t.Helper()
	k := newKitchen(t)
	k.entries[0].Body, k.entries[0].Effective = test, today-record.Date(daysAgo)
	return k.forecast(t)["tap/water-test"]
}

// A test is never due on its own day, nor before a new one could tell more: not of
// soft waters either, where the spread of what they lay down is large and what
// they lay down is small. These were due in all of 78 Saturdays.
func TestNoTestIsDueOnItsOwnDay(t *testing.T) {
	for _, test := range []struct {
		name string
		test record.WaterTest
	}{
		{"4/3 °dH by drop", testedBy(4, 3, water.MethodDrop)},
		{"2/1.5 °dH in a laboratory", testedBy(2, 1.5, water.MethodLaboratory)},
		{"12/9 °dH by drop", testedBy(12, 9, water.MethodDrop)},
		{"20/15 °dH by strip", testedBy(20, 15, water.MethodStrip)},
	} {
		o := waterTestOf(t, test.test, 0)
		t.Logf("%s: early %s, likely %s, late %s; %+v", test.name, o.Window.Early, o.Window.Likely, o.Window.Late, *o.Doubt)
		if g := o.Gauges[0]; g.Reading.High != 0 || o.Doubt.Narrows != 0 {
			t.Errorf("%s: on its day it reads %v", test.name, g.Reading)
		}
		// A year and a half has 78 Saturdays: at most one in 13 with a test.
		if o.Window.Early != 0 && o.Window.Early < today+13*7 {
			t.Errorf("%s: due again after %d days", test.name, o.Window.Early-today)
		}
	}
}

// Common practice tests raw water about twice a year where it matters, and a water
// that moves no date is not tested for its own sake: a hard water that scales is
// due within two years, a water so soft that nothing scales within the horizon is
// not due at all.
func TestTestsAreDueWhereTheyMoveADate(t *testing.T) {
	hard := waterTestOf(t, testedBy(15, 12, water.MethodDrop), 0)
	if hard.Window.Likely == 0 || hard.Window.Likely > today+2*365 {
		t.Errorf("hard water: %v", hard.Window)
	}
	if hard.Doubt.For == "" {
		t.Error("nothing hangs on it")
	}
	if soft := waterTestOf(t, testedBy(1, 0.7, water.MethodLaboratory), 0); soft.Window.Early != 0 && soft.Window.Early < today+365 {
		t.Errorf("water that lays down nothing: %v", soft.Window)
	}
	// What was tested long ago is due.
	if old := waterTestOf(t, testedBy(15, 12, water.MethodDrop), 5*365); old.Window.Likely == 0 || old.Window.Likely > today {
		t.Errorf("tested five years ago: %v", old.Window)
	}
}
