package day_test

import (
	"math"
	"testing"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// Every task of a machine and of its line belongs to just one of the parts, so that
// each can be found on the drawing.
func TestEveryTaskHasItsPart(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Lever())
	f := d.Forecast(t, at)
	machine := machineOf(t, f)
	parts, err := f.Parts().Machine(machine.ID)
	if err != nil {
		t.Fatal(err)
	}
	states := []day.PartState{parts.Source, parts.Whole}
	for _, p := range []*day.PartState{parts.Pump, parts.Wand} {
		if p != nil {
			states = append(states, *p)
		}
	}
	for _, v := range parts.Vessels {
		states = append(states, v.PartState)
	}
	for _, g := range parts.Groups {
		states = append(states, g.PartState)
	}
	for _, s := range parts.Stages {
		states = append(states, s.PartState)
	}
	seen := map[string]int{}
	for _, s := range states {
		for _, task := range s.Tasks {
			seen[task.Task]++
		}
	}
	want := 0
	for _, x := range f.Outcomes() {
		if id := x.Duty.Equipment.ID; id != machine.ID && id != machine.Machine.Line {
			continue
		}
		if want++; seen[x.Duty.ID] != 1 {
			t.Errorf("%s belongs to %d parts", x.Duty.ID, seen[x.Duty.ID])
		}
	}
	if want < 10 || len(seen) != want {
		t.Errorf("%d tasks are on the parts, of %d", len(seen), want)
	}
}

func machineOf(t *testing.T, f *day.Forecast) record.Equipment {
	t.Helper()
	for _, e := range f.Day.Book.Equipment() {
		if e.Machine != nil {
			return e
		}
	}
	t.Fatal("there is no machine")
	return record.Equipment{}
}

// The energy that scale costs, by hand: 365 warm-ups a year, or as many as there are
// days with use, of so many seconds at so many watts; a kilowatt-hour is 3.6 MJ.
func TestScaleCost(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	f := d.Forecast(t, at)
	machine := machineOf(t, f)
	for _, v := range machine.Machine.Vessels {
		r, err := f.Parts().Vessel(machine.ID, v.ID)
		if err != nil {
			t.Fatal(err)
		}
		if immersed := v.Kind == record.BrewBoiler || v.Kind == record.SteamBoiler; immersed != (r.Cost != nil) {
			t.Fatalf("%s: a cost of %v", v.Kind, r.Cost)
		}
		if r.Cost == nil {
			continue
		}
		want := r.Cost.WarmUpsAYear * r.Scale.WarmUpSeconds.Likely * r.Scale.Watts / 3.6e6
		if got := r.Cost.KWhAYear.Likely; math.Abs(got-want) > 1e-9*(1+want) || r.Cost.WarmUpsAYear < 1 || r.Cost.WarmUpsAYear > 365 {
			t.Errorf("%s: %v kWh in %v warm-ups, want %v", v.ID, got, r.Cost.WarmUpsAYear, want)
		}
		if r.Cost.KWhAYear.Low > r.Cost.KWhAYear.Likely || r.Cost.KWhAYear.Likely > r.Cost.KWhAYear.High {
			t.Errorf("%s: the percentiles run backwards: %v", v.ID, r.Cost.KWhAYear)
		}
	}
}
