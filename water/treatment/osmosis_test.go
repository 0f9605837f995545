package treatment

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"limekeep/water"
	"limekeep/water/conductivity"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// What goes in comes out as permeate or concentrate; both are as neutral as the
// feed, hold nothing below zero, and CO2 is in the permeate as in the feed.
func TestPermeateConserves(t *testing.T) {
	s := equilibrium.NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		a := watertest.Draw(t)
		raw := watertest.Solve(t, s.Speciate, a).Totals
		m := Membrane{Passage: UsualPassage(), Recovery: rapid.Float64Range(0.05, 0.8).Draw(t, "recovery")}
		clean, salty, err := m.Permeate(s, raw, a.MeasuredCelsius)
		if err != nil {
			t.Fatal(err)
		}
		back := clean.Times(m.Recovery).Plus(salty.Times(1 - m.Recovery))
		for name, c := range map[string][2]float64{
			"calcium": {raw.Calcium, back.Calcium}, "sodium": {raw.Sodium, back.Sodium},
			"carbon": {raw.Carbon, back.Carbon}, "alkalinity": {raw.Alkalinity, back.Alkalinity},
			"chloride": {raw.Chloride, back.Chloride}, "sulfate": {raw.Sulfate, back.Sulfate},
			"nitrate": {raw.Nitrate, back.Nitrate}, "silica": {raw.Silica, back.Silica},
			"magnesium": {raw.Magnesium, back.Magnesium}, "potassium": {raw.Potassium, back.Potassium},
		} {
			if math.Abs(c[0]-c[1]) > 1e-12*(c[0]+1e-3) {
				t.Errorf("%s: %g mol/kg in, %g out", name, c[0], c[1])
			}
		}
		if x := clean.ChargeBalance(); math.Abs(x) > 1e-9 {
			t.Errorf("permeate has a charge of %g eq/kg", x)
		}
		if err := clean.Validate(); err != nil {
			t.Errorf("permeate: %v", err)
		}
		before, err := s.Equilibrate(raw, a.MeasuredCelsius)
		if err != nil {
			t.Fatal(err)
		}
		after, err := s.Equilibrate(clean, a.MeasuredCelsius)
		if err != nil {
			t.Fatal(err)
		}
		if before.PH > 8 {
			return // with hardly any CO2 the little there is turns to HCO3- in the permeate
		}
		if math.Abs(after.Log10PCO2-before.Log10PCO2) > 0.25 {
			t.Errorf("CO2 at 10^%.2f atm before, 10^%.2f after", before.Log10PCO2, after.Log10PCO2)
		}
		if after.PH >= before.PH {
			t.Errorf("pH %.2f before and %.2f after", before.PH, after.PH)
		}
	})
}

// By hand: of sodium chloride alone, at a passage of 0.06 for either and a
// recovery of a half, (1 - 0.5^0.06)/0.5 = 0.0815 is in the permeate. With 0.08
// and 0.045 the potential lets the geometric mean, 0.06, of both pass.
func TestPermeateByHand(t *testing.T) {
	s := equilibrium.NewSolver()
	brine := water.Totals{Sodium: 0.01, Chloride: 0.01}
	for _, p := range [][2]float64{{0.06, 0.06}, {0.08, 0.045}} {
		m := Membrane{Passage: Passage{Sodium: p[0], Chloride: p[1]}, Recovery: 0.5}
		clean, salty, err := m.Permeate(s, brine, 20)
		if err != nil {
			t.Fatal(err)
		}
		watertest.Near(t, "sodium", clean.Sodium/0.01, 0.0815, 1e-4)
		watertest.Near(t, "chloride", clean.Chloride/0.01, 0.0815, 1e-4)
		watertest.Near(t, "concentrate", salty.Chloride/0.01, 2-0.0815, 1e-4)
	}
}

// A drinking water comes out with about a twentieth of its salt: the 90 to 98 %
// rejection that makers state for such modules (from memory).
func TestPermeateIsClean(t *testing.T) {
	s := equilibrium.NewSolver()
	raw, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	clean, _, err := (Membrane{Passage: UsualPassage(), Recovery: UsualRecovery}).Permeate(s, raw.Totals, 15)
	if err != nil {
		t.Fatal(err)
	}
	solids := func(t water.Totals) float64 { return conductivity.DissolvedSolids(t.Analysis(0, 0)) }
	if share := solids(clean) / solids(raw.Totals); share < 0.02 || share > 0.10 {
		t.Errorf("%.3f of the solids pass, want 0.02 to 0.10", share)
	}
}

func TestPermeateRefuses(t *testing.T) {
	s := equilibrium.NewSolver()
	good := Membrane{Passage: UsualPassage(), Recovery: 0.3}
	for name, change := range map[string]func(*Membrane, *water.Totals, *float64){
		"recovery":     func(m *Membrane, _ *water.Totals, _ *float64) { m.Recovery = 0.95 },
		"NaN recovery": func(m *Membrane, _ *water.Totals, _ *float64) { m.Recovery = math.NaN() },
		"passage":      func(m *Membrane, _ *water.Totals, _ *float64) { m.Passage.Nitrate = 1.5 },
		"hot":          func(_ *Membrane, _ *water.Totals, c *float64) { *c = 60 },
		"salt":         func(_ *Membrane, t *water.Totals, _ *float64) { t.Sodium = -1 },
	} {
		m, raw, celsius := good, water.Totals{}, 20.0
		change(&m, &raw, &celsius)
		var value *water.ValueError
		if _, _, err := m.Permeate(s, raw, celsius); !errors.As(err, &value) {
			t.Errorf("%s: %v, want a ValueError", name, err)
		}
	}
}

// ExampleMembrane_Permeate blends raw water into permeate for 50 mg/L CaCO3 of
// carbonate hardness (1 meq/L).
func ExampleMembrane_Permeate() {
	s := equilibrium.NewSolver()
	raw, err := s.Speciate(water.Analysis{
		MeasuredCelsius: 10, PH: 7.34,
		CalciumMgPerKg: 56.1, MagnesiumMgPerKg: 5.59, SodiumMgPerKg: 6.90, PotassiumMgPerKg: 1.95,
		AlkalinityMgPerKgCaCO3: 122.6, ChlorideMgPerKg: 8.86, SulfateMgPerKg: 36.5, NitrateMgPerKg: 9.30,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	clean, _, err := (Membrane{Passage: UsualPassage(), Recovery: UsualRecovery}).Permeate(s, raw.Totals, 10)
	if err != nil {
		fmt.Println(err)
		return
	}
	share, err := BlendFor(clean, raw.Totals, 1e-3)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f %% raw water\n", 100*share)
	// Output: 37 % raw water
}
