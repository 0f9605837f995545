package wear

import (
	"context"
	"math"
	"testing"
)

// Shots are ground once: two grinders that serve one machine, of which nobody says more,
// share them alike, widely; as their bags went, where both have some; and one that came
// today takes nothing from the past of the other.
func TestGrindersShareTheShots(t *testing.T) {
	const task, second = "grinder/burr-replacement", "second/burr-replacement"
	outcomes := func(change func(*kitchen, *Household)) map[string]Outcome {
		k := newKitchen(t)
		k.worlds = 200
		if change != nil {
			for _, e := range k.equipment {
				if e.ID == "grinder" {
					e.ID = "second"
					k.equipment = append(k.equipment, e)
				}
			}
			change(k, &Household{})
		}
		h := k.household()
		if change != nil {
			change(k, h)
		}
		all, err := Forecast(context.Background(), h)
		if err != nil {
			t.Fatal(err)
		}
		byTask := map[string]Outcome{}
		for _, o := range all {
			byTask[o.Duty.ID] = o
		}
		return byTask
	}
	near := func(what string, got, want float64) {
		if math.Abs(got/want-1) > 0.08 { // of 200 worlds
			t.Errorf("%s: %.3f, want %.3f", what, got, want)
		}
	}
	alone := outcomes(nil)[task]
	if alone.Grinding != nil {
		t.Errorf("one grinder shares: %+v", alone.Grinding)
	}
	shared := outcomes(func(*kitchen, *Household) {})
	a, b := shared[task], shared[second]
	near("the first a week", a.Gauges[0].PerWeek, alone.Gauges[0].PerWeek/2)
	near("the second a week", b.Gauges[0].PerWeek, alone.Gauges[0].PerWeek/2)
	near("the first so far", a.Gauges[0].Amount.Likely, alone.Gauges[0].Amount.Likely/2)
	if len(a.Grinding) != 1 || a.Grinding[0].ByBags || a.Grinding[0].With[0] != "second" {
		t.Fatalf("shares: %+v", a.Grinding)
	}
	share := a.Grinding[0].Share // 1/(1+exp(1.2816·0.5·√2)) = 0.288
	near("its share", share.Likely, 0.5)
	near("its least share", share.Low, 0.288)
	near("its largest share", share.High, 0.712)

	bagged := outcomes(func(_ *kitchen, h *Household) { h.Bags = map[string]float64{"grinder": 0.03, "second": 0.01} })
	if !bagged[task].Grinding[0].ByBags {
		t.Error("bags of both say nothing")
	}
	near("the first by bags", bagged[task].Grinding[0].Share.Likely, 0.75)

	late := outcomes(func(k *kitchen, _ *Household) {
		if e := &k.equipment[len(k.equipment)-1]; e.ID == "second" {
			e.Bought = today
		}
	})
	near("the first, before the second came", late[task].Gauges[0].Amount.Likely, alone.Gauges[0].Amount.Likely)
	near("the first after it came", late[task].Gauges[0].PerWeek, alone.Gauges[0].PerWeek/2)
	if got := late[second].Gauges[0].Amount.Likely; got > 0.01*alone.Gauges[0].Amount.Likely {
		t.Errorf("on the day it came the second has ground %v kg", got)
	}
}
