package day

import (
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water"
)

// What would narrow most is what the dates that matter hang on: a water test where there
// was none, then a look into a vessel or at a part that wears, and never a button that
// is as well pressed as looked at.
func TestWhatWouldNarrowMost(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	today := record.NewDate(2026, 11, 27)
	s := schedule.FillIn(schedule.Setup{Place: record.Place{Zone: "Europe/Vienna"}, Equipment: []record.Equipment{{Used: true, Machine: &record.Machine{Layout: record.TwoBoilers}}}})
	narrowest := func(tests ...record.WaterTest) *Narrowing {
		entries := []record.Entry{{ID: 1, Effective: today, Body: s.Place}}
		for _, e := range s.Equipment {
			e = e.Completed(record.Equipment{}, false, today)
			entries = append(entries, record.Entry{ID: int64(len(entries) + 1), Effective: e.Bought, Body: e})
		}
		for _, w := range tests {
			entries = append(entries, record.Entry{ID: int64(len(entries) + 1), Effective: today, Body: w})
		}
		d, err := newDay(&Opener{Catalogue: catalogue}, dayKey{place: s.Place.ID, today: today, worlds: 200, months: 18, catalogue: catalogue}, record.NewBook(today, entries, nil))
		if err != nil {
			t.Fatal(err)
		}
		f, err := d.Forecast(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return f.narrowest()
	}
	first := narrowest()
	if first == nil || first.Do.Verb != schedule.AddWaterTest || first.Days < 100 || !strings.Contains(first.Says, "off the windows of") {
		t.Fatalf("with nothing known it is %+v", first)
	}
	then := narrowest(record.WaterTest{Line: "water", Test: water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: 12, Unit: water.GermanDegree, Method: water.MethodDrop}, {Quantity: water.Alkalinity, Value: 10, Unit: water.GermanDegree, Method: water.MethodDrop}}}})
	if then == nil || then.Do.Verb != schedule.Look || !strings.Contains(then.Do.Task, "descale/steam") {
		t.Errorf("with the water tested it is %+v", then)
	}
}
