package day_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// withScale is a home with two groups on its machine and a weighing scale.
func withScale() schedule.Setup {
	s := sample.Home()
	s.Equipment[0].Machine.Groups = append(s.Equipment[0].Machine.Groups, record.Group{ID: "second", ThreeWayValve: true})
	s.Equipment = append(s.Equipment, record.Equipment{ID: "tools", Bought: bought, Tools: &record.Tools{Setting: record.Home, Have: []record.Tool{record.WeighingScale}}})
	return s
}

// Every task of the catalogue that a reading does says of what that is, and is
// done once a reading is written down there.
func TestEveryCheckIsDoneByItsReading(t *testing.T) {
	figures := map[record.MeasurementKind]record.Measurement{
		record.Flow:            {Grams: 180, Seconds: 20},
		record.WarmUpTime:      {Minutes: 12, FromCelsius: 21},
		record.ShotTime:        {Seconds: 28, Setting: 14, DoseGrams: 18, YieldGrams: 36},
		record.BrewTemperature: {Celsius: 91.5},
		record.PumpPressure:    {Bar: 9.1},
		record.ReferenceMass:   {ShownGrams: 99.9, MassGrams: 100},
	}
	d, records := sample.SetUp(t, withScale())
	ctx := context.Background()
	all := d.Day(t, at).Tasks()
	seen := map[record.MeasurementKind]bool{}
	for _, task := range all {
		c, err := d.Day(t, at).Check(task.Task)
		if err != nil {
			t.Fatal(err)
		}
		if (c != nil) != (task.Records != "") {
			t.Errorf("%s: a check is %v, but it is written down with %q", task.Task, c != nil, task.Records)
		}
		if c == nil {
			continue
		}
		seen[c.Kind] = true
		if c.Last != nil {
			t.Errorf("%s: something was read already: %+v", task.Task, c.Last)
		}
		if two := c.Kind == record.BrewTemperature; two != slices.Equal(c.Parts, []string{"group", "second"}) {
			t.Errorf("%s: it may be of %v", task.Task, c.Parts)
		}
		written, err := d.Journal.MeasureTask(ctx, d.Day(t, at), today-1, task.Task, figures[c.Kind])
		if err != nil {
			t.Errorf("%s: %v", task.Task, err)
			continue
		}
		e, err := records.Find(ctx, written.Record)
		if err != nil {
			t.Fatal(err)
		}
		if m := e.Body.(record.Measurement); m.Kind != c.Kind || m.Equipment != c.Equipment || m.Part != c.Part {
			t.Errorf("%s: wrote %+v", task.Task, m)
		}
		if c, err = d.Day(t, at).Check(task.Task); err != nil || c.Last == nil || c.Last.Kind != c.Kind {
			t.Errorf("%s: the last reading is %+v (%v)", task.Task, c.Last, err)
		}
	}
	for kind := range figures {
		if !seen[kind] {
			t.Errorf("no task is done by a reading of %s", kind)
		}
	}
	dues := d.Forecast(t, at).Due()
	for _, due := range dues {
		if c, err := d.Day(t, at).Check(due.Task); err == nil && c != nil && (due.LastService == nil || *due.LastService != today-1) {
			t.Errorf("%s was last done on %v", due.Task, due.LastService)
		}
	}
}

func TestMeasureTaskRefuses(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	before := records.Count()
	_, err := d.Journal.MeasureTask(ctx, d.Day(t, at), 0, "group-gasket", record.Measurement{Bar: 9})
	sample.Refused(t, err, "task", records, before)
	_, err = d.Journal.MeasureTask(ctx, d.Day(t, at), 0, "pump-pressure", record.Measurement{Bar: 90})
	sample.Refused(t, err, "bar", records, before)
	_, err = d.Journal.MeasureTask(ctx, d.Day(t, at), 0, "pump-pressure", record.Measurement{Bar: 9, Celsius: 92})
	sample.Refused(t, err, "celsius", records, before)
	if _, err := d.Journal.MeasureTask(ctx, d.Day(t, at), 0, "polish", record.Measurement{}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("an unknown task: %v", err)
	}
}

// What readings say shows with the task they do, and with no other.
func TestConditionsOf(t *testing.T) {
	d, _ := sample.SetUp(t, withScale())
	ctx := context.Background()
	for i, task := range []string{"flow-test/group", "flow-test/second", "temperature-check"} {
		x := record.Measurement{Grams: 180 + float64(i), Seconds: 20}
		if i == 2 {
			x = record.Measurement{Celsius: 92}
		}
		if _, err := d.Journal.MeasureTask(ctx, d.Day(t, at), 0, task, x); err != nil {
			t.Fatal(err)
		}
	}
	for task, want := range map[string][]string{
		"flow-test/group": {"bench/jets/group"}, "flow-test/second": {"bench/jets/second"}, "temperature-check": {"bench/controller"}, "group-gasket/group": nil,
	} {
		all, err := d.Forecast(t, at).Conditions().Of(task)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, c := range all {
			got = append(got, c.Task)
			if len(c.Readings) != 1 || len(c.Says) == 0 {
				t.Errorf("%s: %+v", task, c)
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s leads to %v, not %v", task, got, want)
		}
	}
}

// The electrical check follows the vessel that warms up worst; the other one's
// readings show with their own task all the same, and say which is followed.
func TestConditionsOfTheLesserPart(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	for i := range 6 {
		for vessel, minutes := range map[string]float64{"brew": 8.5 + 0.2*float64(i), "steam": 12 + 0.1*float64(i)} {
			if _, err := d.Journal.MeasureTask(ctx, d.Day(t, at), today-record.Date(30*(5-i)), "warm-up/"+vessel, record.Measurement{Minutes: minutes}); err != nil {
				t.Fatal(err)
			}
		}
	}
	followed, err := d.Forecast(t, at).Conditions().Of("warm-up/brew")
	if err != nil || len(followed) != 1 || followed[0].Part != "brew" || followed[0].Likely == nil {
		t.Fatalf("%+v, %v", followed, err)
	}
	// By hand: 0.1 minutes more each thirty days, against a reference of 12.0, the
	// line's on the first day, are 0.83 % in thirty days and 0.85 % a month.
	lesser, err := d.Forecast(t, at).Conditions().Of("warm-up/steam")
	if err != nil || len(lesser) != 1 {
		t.Fatalf("%+v, %v", lesser, err)
	}
	c := lesser[0]
	if c.Part != "steam" || c.Task != followed[0].Task || len(c.Readings) != 6 || !c.Sure || c.PerMonth < 0.83 || c.PerMonth > 0.85 || c.Early != nil || c.Likely != nil || c.Late != nil {
		t.Errorf("%+v", c)
	}
	text := strings.Join(c.Says, " ")
	sample.HoldsAll(t, text, "by 6 readings", "They grow by 0.85 % a month.", "The date follows brew, which has moved further.")
	if strings.Contains(text, "reaches the limit") || strings.Contains(text, "reach the limit") {
		t.Errorf("it says when it reaches the limit: %s", text)
	}
}
