package boiler

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// By hand: without a drain the chloride of a boiler of which a fifth of the
// feed leaves as liquid is 5 - 4·exp(-h·t/M) fold; draining 0.8 of 2 kg leaves
// 0.6 of what is above the feed's.
func TestDrainsSave(t *testing.T) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	plan := DrainPlan{WaterKg: 2, Daily: LevelDay(0.1, 0.4, 0), EveryDays: 30, DrainKg: 0.8, Days: 90, Celsius: 125}
	without, with, err := CompareDrains(s, cold.Totals, plan)
	if err != nil {
		t.Fatal(err)
	}
	chloride := cold.Totals.Chloride
	watertest.Near(t, "chloride without", without.Last.Chloride/chloride, 5-4*math.Exp(-0.05*90), 1e-9)
	n := 1.0
	most := 0.0
	for range 3 {
		n = 5 + (n-5)*math.Exp(-0.05*30)
		most = max(most, n)
		n = 1 + (n-1)*0.6
	}
	watertest.Near(t, "chloride with", with.Last.Chloride/chloride, n, 1e-9)
	watertest.Near(t, "most chloride with", with.Most.Chloride/chloride, most, 1e-9)
	watertest.Near(t, "most chloride without", without.Most.Chloride, without.Last.Chloride, 1e-12)
	watertest.Near(t, "fed without", without.FedKg, 2+90*0.5, 1e-9)
	watertest.Near(t, "fed with", with.FedKg, without.FedKg+3*0.8, 1e-9)
	// A drain takes off little calcium and its refill brings more.
	if extra := with.Grams() / without.Grams(); extra < 1 || extra > with.FedKg/without.FedKg {
		t.Errorf("scale times %.4f, want between 1 and the feed's %.4f", extra, with.FedKg/without.FedKg)
	}
}

func TestDrainsRefuse(t *testing.T) {
	s := equilibrium.NewSolver()
	for name, plan := range map[string]DrainPlan{
		"no days":     {WaterKg: 1, Celsius: 120},
		"overdrained": {WaterKg: 1, Daily: LevelDay(0.1, 0.1, 0), EveryDays: 1, DrainKg: 2, Days: 3, Celsius: 120},
		"dry":         {WaterKg: 1, Daily: Day{SteamKg: 2}, Days: 3, Celsius: 120},
		"no water":    {WaterKg: -1, Days: 3, Celsius: 120},
	} {
		var value *water.ValueError
		if _, _, err := CompareDrains(s, water.Totals{}, plan); !errors.As(err, &value) {
			t.Errorf("%s: %v, want a ValueError", name, err)
		}
	}
}

// ExampleCompareDrains shows what a monthly drain of half the boiler
// does in a year to water 1 of DIN 38404-10:2012-12, table 4.
func ExampleCompareDrains() {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(water.Analysis{
		MeasuredCelsius: 10, PH: 7.34,
		CalciumMgPerKg: 56.1, MagnesiumMgPerKg: 5.59, SodiumMgPerKg: 6.90, PotassiumMgPerKg: 1.95,
		AlkalinityMgPerKgCaCO3: 122.6, ChlorideMgPerKg: 8.86, SulfateMgPerKg: 36.5, NitrateMgPerKg: 9.30,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	without, with, err := CompareDrains(s, cold.Totals, DrainPlan{
		WaterKg: 1.5, Daily: LevelDay(0.02, 0.3, 0), EveryDays: 30, DrainKg: 0.75, Days: 365, Celsius: 125,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	show := func(o DrainOutcome) string {
		return fmt.Sprintf("chloride up to %.0f mg/L, %.1f g of scale", o.Most.Chloride*1000*water.MolarMassChlorine, o.Grams())
	}
	fmt.Println("without:", show(without))
	fmt.Println("with:", show(with))
	// Output:
	// without: chloride up to 141 mg/L, 14.2 g of scale
	// with: chloride up to 75 mg/L, 15.1 g of scale
}
