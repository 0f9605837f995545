package record_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

func TestCareChangeValidate(t *testing.T) {
	for _, good := range []record.CareChange{
		{Task: "descale", Off: true},
		{Task: "descale", Months: 6, By: record.ByMaker},
		{Task: "descale", Gauge: "scale in the vessel", Usual: 3},
		{Task: "descale", Low: 2, Usual: 3, High: 3},
	} {
		if err := good.Validate(); err != nil {
			t.Errorf("%+v: %v", good, err)
		}
	}
	for _, test := range []struct {
		name   string
		change record.CareChange
		field  string
	}{
		{"no task", record.CareChange{Off: true}, "task"},
		{"nothing said", record.CareChange{Task: "x"}, "off"},
		{"two things said", record.CareChange{Task: "x", Off: true, Usual: 3}, "off"},
		{"a limit and an interval", record.CareChange{Task: "x", Months: 3, Usual: 3}, "off"},
		{"a gauge for nothing", record.CareChange{Task: "x", Gauge: "y", Off: true}, "gauge"},
		{"a low above", record.CareChange{Task: "x", Low: 4, Usual: 3}, "low"},
		{"a high below", record.CareChange{Task: "x", Usual: 3, High: 2}, "high"},
		{"low alone", record.CareChange{Task: "x", Low: 2}, "usual"},
		{"below nothing", record.CareChange{Task: "x", Usual: -3}, "usual"},
		{"no number", record.CareChange{Task: "x", Usual: math.NaN()}, "usual"},
		{"an age", record.CareChange{Task: "x", Months: 1000}, "months"},
		{"nobody's", record.CareChange{Task: "x", Off: true, By: "cat"}, "by"},
		{"a control character", record.CareChange{Task: "x", Off: true, Note: "a\x00"}, "note"},
	} {
		wantField(t, test.name, test.change.Validate(), test.field)
	}
}

func TestOwnTaskValidate(t *testing.T) {
	good := record.OwnTask{ID: "hinges", Title: "Oil the hinges", Equipment: "machine", Months: 6}
	if err := good.Validate(); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name   string
		change func(*record.OwnTask)
		field  string
	}{
		{"no id", func(o *record.OwnTask) { o.ID = "" }, "id"},
		{"no title", func(o *record.OwnTask) { o.Title = "" }, "title"},
		{"no equipment", func(o *record.OwnTask) { o.Equipment = "" }, "equipment"},
		{"nothing that drives it", func(o *record.OwnTask) { o.Months = 0 }, "months"},
		{"two intervals", func(o *record.OwnTask) { o.Days = 3 }, "months"},
		{"days below one", func(o *record.OwnTask) { o.Months, o.Days = 0, 0.5 }, "days"},
		{"an odd driver", func(o *record.OwnTask) { o.Months, o.Driver, o.Limit = 0, "moons", 3 }, "driver"},
		{"a driver without a limit", func(o *record.OwnTask) { o.Months, o.Driver = 0, "shots" }, "limit"},
		{"no time at all", func(o *record.OwnTask) { o.Minutes = 0.5 }, "minutes"},
		{"a control character", func(o *record.OwnTask) { o.Steps = []string{"fine", "a\x01"} }, "steps[1]"},
	} {
		task := good
		test.change(&task)
		wantField(t, test.name, task.Validate(), test.field)
	}
	twice := record.OwnCare{Tasks: []record.OwnTask{good, good}}
	wantField(t, "one task twice", twice.Validate(), "tasks[1].id")
	wantField(t, "a bad change", record.OwnCare{Changes: []record.CareChange{{Task: "x"}}}.Validate(), "changes[0].off")
}

func wantField(t *testing.T, name string, err error, field string) {
	t.Helper()
	var wrong *record.FieldError
	if !errors.As(err, &wrong) || wrong.Field != field || wrong.Want == "" {
		t.Errorf("%s: got %v, want an error of %s", name, err, field)
	}
}

func TestMeasurementValidate(t *testing.T) {
	good := []record.Measurement{
		{Kind: record.Flow, Equipment: "machine", Part: "group", Grams: 180, Seconds: 20},
		{Kind: record.WarmUpTime, Equipment: "machine", Part: "brew", Minutes: 8, FromCelsius: 18},
		{Kind: record.WarmUpTime, Equipment: "machine", Part: "brew", Minutes: 8},
		{Kind: record.ShotTime, Equipment: "grinder", Seconds: 28, DoseGrams: 18, YieldGrams: 36}, // at setting 0
		{Kind: record.BrewTemperature, Equipment: "machine", Celsius: 92},
		{Kind: record.PumpPressure, Equipment: "machine", Bar: 9},
		{Kind: record.ReferenceMass, Equipment: "tools", ShownGrams: 99.9, MassGrams: 100},
	}
	for _, m := range good {
		if err := m.Validate(); err != nil {
			t.Errorf("%+v: %v", m, err)
		}
	}
	for _, test := range []struct {
		name  string
		m     record.Measurement
		field string
	}{
		{"an odd kind", record.Measurement{Kind: "mood", Equipment: "machine"}, "kind"},
		{"no equipment", record.Measurement{Kind: record.Flow, Grams: 1, Seconds: 1}, "equipment"},
		{"flow without grams", record.Measurement{Kind: record.Flow, Equipment: "m", Seconds: 20}, "grams"},
		{"flow in no time", record.Measurement{Kind: record.Flow, Equipment: "m", Grams: 180}, "seconds"},
		{"flow with a pressure", record.Measurement{Kind: record.Flow, Equipment: "m", Grams: 180, Seconds: 20, Bar: 9}, "bar"},
		{"a shot without a dose", record.Measurement{Kind: record.ShotTime, Equipment: "g", Seconds: 28, YieldGrams: 36}, "dose_grams"},
		{"a pressure beyond any pump", record.Measurement{Kind: record.PumpPressure, Equipment: "m", Bar: 90}, "bar"},
		{"a pressure that is no number", record.Measurement{Kind: record.PumpPressure, Equipment: "m", Bar: math.NaN()}, "bar"},
		{"a part with a space", record.Measurement{Kind: record.PumpPressure, Equipment: "m", Part: "a b", Bar: 9}, "part"},
		{"warm-up from steam", record.Measurement{Kind: record.WarmUpTime, Equipment: "m", Minutes: 5, FromCelsius: 90}, "from_celsius"},
	} {
		wantField(t, test.name, test.m.Validate(), test.field)
	}
}

func TestFittingsAndToolsValidate(t *testing.T) {
	m := record.Machine{
		Setting: record.Home, Line: "tap", Pump: record.RotaryPump, Control: record.Controller,
		Vessels: []record.Vessel{{ID: "v", Kind: record.BrewBoiler, Material: record.Brass}},
		Groups:  []record.Group{{ID: "g", Cam: true}},
		Has:     []record.Fitting{record.FlowMeter}, Lacks: []record.Fitting{record.VacuumBreaker},
	}
	if err := m.Validate(); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name   string
		change func(*record.Machine)
		field  string
	}{
		{"an odd pump", func(m *record.Machine) { m.Pump = "steam" }, "pump"},
		{"an odd control", func(m *record.Machine) { m.Control = "luck" }, "control"},
		{"a grinder's part", func(m *record.Machine) { m.Has = []record.Fitting{record.Hopper} }, "has[0]"},
		{"a part twice", func(m *record.Machine) { m.Has = []record.Fitting{record.FlowMeter, record.FlowMeter} }, "has[1]"},
		{"there and not there", func(m *record.Machine) { m.Lacks = []record.Fitting{record.FlowMeter} }, "lacks[0]"},
		{"a spring without a lever", func(m *record.Machine) { m.Groups = []record.Group{{ID: "g", Spring: true}} }, "groups[0].spring"},
		{"a cam and a lever", func(m *record.Machine) { m.Groups = []record.Group{{ID: "g", Cam: true, Lever: true}} }, "groups[0].cam"},
	} {
		changed := m
		test.change(&changed)
		wantField(t, test.name, changed.Validate(), test.field)
	}
	wantField(t, "no tools", record.Tools{Setting: record.Home}.Validate(), "have")
	wantField(t, "an odd tool", record.Tools{Setting: record.Home, Have: []record.Tool{"spoon"}}.Validate(), "have[0]")
	wantField(t, "a tool twice", record.Tools{Setting: record.Home, Have: []record.Tool{record.Tamper, record.Tamper}}.Validate(), "have[1]")
	grinder := record.Grinder{Setting: record.Home, Drive: record.HandDriven, Geometry: record.FlatBurrs, DiameterMM: 64, Serves: []string{"m"}}
	grinder.SecondsPerClick = 100
	wantField(t, "an endless click", grinder.Validate(), "seconds_per_click")
	grinder.SecondsPerClick, grinder.Roast = 3, "blue"
	wantField(t, "an odd roast", grinder.Validate(), "roast")
}

// What is written comes back the same.
func TestNewKindsKeep(t *testing.T) {
	for _, body := range []record.Body{
		record.Measurement{Kind: record.Flow, Equipment: "machine", Part: "group", Grams: 180, Seconds: 20, Note: "β"},
		record.OwnCare{Changes: []record.CareChange{{Task: "x", Off: true}}, Tasks: []record.OwnTask{{ID: "a", Title: "A", Equipment: "m", Days: 3}}},
		record.OwnCare{},
		record.Equipment{ID: "tools", Bought: 700000, Tools: &record.Tools{Setting: record.Bar, Have: []record.Tool{record.Tamper}}},
	} {
		kind, data, err := record.Encode(body)
		if err != nil {
			t.Fatal(err)
		}
		back, err := record.Decode(kind, data)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(body, back); diff != "" {
			t.Errorf("%s: %s", kind, diff)
		}
		if strings.Contains(string(data), "NaN") {
			t.Errorf("%s", data)
		}
	}
}
