package journal_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

func measure(t testing.TB, d *sample.Kitchen, daysAgo int, x record.Measurement) journal.Receipt {
	t.Helper()
	w, err := d.Journal.Measure(context.Background(), d.Day(t, schedule.Moment{Today: today}), today-record.Date(daysAgo), x)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// A check written down is a check done, and shows where it leads.
func TestMeasureFlow(t *testing.T) {
	setup := sample.Home()
	setup.Equipment[0].Machine.Vessels[0].OrificeMM = 0.6
	d, records := sample.SetUp(t, setup)
	for i, grams := range []float64{200, 198, 196, 120, 192, 190, 188, 186} {
		w := measure(t, d, 30*(7-i), record.Measurement{Kind: record.Flow, Grams: grams, Seconds: 20})
		if w.What == "" || w.Record == 0 {
			t.Errorf("wrote %+v", w)
		}
	}
	last := records.Entries[len(records.Entries)-1].Body.(record.Measurement)
	if last.Equipment != "bench" || last.Part != "group" {
		t.Errorf("it is of %q, part %q", last.Equipment, last.Part)
	}
	// By hand: the line through the readings begins at 200 g in 20 s and loses 2 g in
	// 30 days. 186 g are 7.0 % less, and 0.6·√0.93 is 0.58 mm.
	text := sample.SaysOf(t, d, "jets")
	sample.HoldsAll(t, text, "Flow lost at the smallest bore: 7 %", "by 7 readings", "10 g/s", "It is as if the bore of 0.6 mm had become 0.58 mm",
		"They grow by", "reaches the limit about", "lies far off the others: it is shown and not followed; take it again")
	due, err := d.Forecast(t, schedule.Moment{Today: today}).DueOf("flow-test")
	if err != nil || due.LastService == nil || *due.LastService != today {
		t.Errorf("the flow test was last taken on %v (%v)", due.LastService, err)
	}
	all := d.Forecast(t, schedule.Moment{Today: today}).Conditions().All()
	if len(all) != 1 {
		t.Fatalf("%d conditions", len(all))
	}
	if c := all[0]; c.Task != "bench/jets/group" || len(c.Readings) != 8 || !c.Readings[3].FarOff || !c.Sure || c.PerMonth <= 0 || c.Likely == nil {
		t.Errorf("%+v", c)
	}
}

// Taken back, a reading counts no more.
func TestVoidAMeasurement(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	w := measure(t, d, 3, record.Measurement{Kind: record.PumpPressure, Bar: 9})
	if _, err := d.Journal.Void(context.Background(), d.Day(t, schedule.Moment{Today: today}), w.Record, "wrong gauge"); err != nil {
		t.Fatal(err)
	}
	if all := d.Forecast(t, schedule.Moment{Today: today}).Conditions().All(); len(all) != 0 {
		t.Errorf("%d conditions", len(all))
	}
}

func TestMeasureRefuses(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	before := len(records.Entries)
	flow := record.Measurement{Kind: record.Flow, Grams: 180, Seconds: 20}
	tests := []struct {
		name string
		on   record.Date
		x    record.Measurement
		says string
	}{
		{"a day to come", today + 1, flow, "not after today"},
		{"a day before it was bought", bought - 1, flow, "not before bench was bought"},
		{"a vessel left open", 0, record.Measurement{Kind: record.WarmUpTime, Minutes: 9}, "vessel: nothing is given; give one of brew, steam"},
		{"a vessel nobody has", 0, record.Measurement{Kind: record.WarmUpTime, Part: "kettle", Minutes: 9}, `vessel "kettle" is not known`},
		// 0.6 litres from 20 to 93 °C at 1000 W take 3.06 minutes, and 0.6 of them at the very least.
		{"a warm-up no heater does", 0, record.Measurement{Kind: record.WarmUpTime, Part: "brew", Minutes: 1.5}, "at least 1.8 minutes: 1000 W do not heat 0.6 litres to 93 °C any sooner"},
		{"a scale nobody has", 0, record.Measurement{Kind: record.ReferenceMass, ShownGrams: 100, MassGrams: 100}, "scale"},
		{"a figure left out", 0, record.Measurement{Kind: record.ShotTime, Seconds: 28, Setting: 14, DoseGrams: 18}, "yield_grams"},
		{"a machine nobody has", 0, record.Measurement{Kind: record.PumpPressure, Equipment: "sink", Bar: 9}, `machine "sink" is not known`},
	}
	for _, test := range tests {
		_, err := d.Journal.Measure(context.Background(), d.Day(t, schedule.Moment{Today: today}), test.on, test.x)
		if err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%s: got %v, want %q", test.name, err, test.says)
		}
	}
	if _, err := d.Journal.Done(context.Background(), d.Day(t, schedule.Moment{Today: today}), 0, record.Service{Task: "flow-test"}); err == nil || !strings.Contains(err.Error(), "the reading itself with `<measure flow>`") {
		t.Errorf("done without a reading: %v", err)
	}
	if len(records.Entries) != before {
		t.Errorf("%d records were written", len(records.Entries)-before)
	}
}

// The burrs' second witness says what it rests on.
func TestShotTimesWitnessTheBurrs(t *testing.T) {
	setup := sample.Home()
	setup.Equipment[1].Grinder.SecondsPerClick = 2
	d, _ := sample.SetUp(t, setup)
	for i := range 8 {
		x := record.Measurement{Kind: record.ShotTime, Seconds: 28, Setting: 20 - 0.5*float64(i), DoseGrams: 18, YieldGrams: 36}
		if i == 4 {
			x.DoseGrams = 20
		}
		measure(t, d, 30*(7-i), x)
	}
	sample.HoldsAll(t, sample.SaysOf(t, d, "burr-replacement"), "Drift of the grind setting towards fine:", "with 2 s a click (your own figure)",
		"Shots of another dose or yield are no witness:", "its dose was 20 g")
	// One reading is shown and not followed.
	d, _ = sample.SetUp(t, sample.Home())
	measure(t, d, 0, record.Measurement{Kind: record.BrewTemperature, Celsius: 91})
	sample.HoldsAll(t, sample.SaysOf(t, d, "controller"), "One reading alone is shown and not followed")
	sample.HoldsAll(t, sample.SaysOf(t, d, "pump"), "nothing to go by was measured since", "<measure pump pressure>")
}

func TestUnknownMeasurementKind(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	_, err := d.Journal.Measure(context.Background(), d.Day(t, schedule.Moment{Today: today}), 0, record.Measurement{Kind: "mood"})
	var field *record.FieldError
	if !errors.As(err, &field) || field.Field != "kind" {
		t.Errorf("got %v", err)
	}
}
