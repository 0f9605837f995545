package boiler

import (
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// A column is the steady state of Steady, which is checked against
// PHREEQC, looked up between its knots: of the reference waters and of invented ones, at
// concentrations that are no knots, with an offset that is none.
func TestBoilerColumnFollowsSteady(t *testing.T) {
	s := equilibrium.NewSolver()
	worst := 0.0
	for _, a := range sampledWaters(t) {
		sol, err := s.Speciate(a)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range []float64{1.3, 2, 4, 8, 15} {
			steam := 1 - 1/n
			c, err := NewColumn(s, sol.Totals, 125, steam, false)
			if err != nil {
				t.Fatal(err)
			}
			for _, offset := range []float64{-0.1, 0, 0.12} {
				want, err := Steady(s, sol.Totals, 125, n, offset, false)
				if err != nil {
					continue // beyond the model's reach
				}
				grams := want.CalciteMmolPerKg*water.MolarMassCalcite + want.AnhydriteMmolPerKg*water.MolarMassAnhydrite
				got := c.ScaleMgPerKg(n, offset)
				// Allowed: 2 % of what the water could lay down, or 2 mg per
				// kg, where the first of a soft water's scale forms.
				off := math.Abs(got - grams)
				worst = max(worst, off/max(grams, 50))
				if off > 0.02*grams+2 {
					t.Errorf("%g fold, offset %g: %.2f mg/kg of scale, want %.2f (%+v)", n, offset, got, grams, a)
				}
				at := c.At(n, offset)
				if chloride := want.Solution.Totals.Chloride; math.Abs(at.Water.Chloride-chloride) > 1e-9 {
					t.Errorf("%g fold: chloride %g, want %g", n, at.Water.Chloride, chloride)
				}
				if math.Abs(at.PH-want.Solution.PH) > 0.05 {
					t.Errorf("%g fold, offset %g: pH %.3f, want %.3f", n, offset, at.PH, want.Solution.PH)
				}
			}
		}
	}
	t.Logf("largest error %.4f of the scale", worst)
}

func BenchmarkBoilerColumn(b *testing.B) {
	s := equilibrium.NewSolver()
	sol, err := s.Speciate(water.Analysis{MeasuredCelsius: 15, PH: 7.5, CalciumMgPerKg: 80, MagnesiumMgPerKg: 15, SodiumMgPerKg: 20, AlkalinityMgPerKgCaCO3: 200, ChlorideMgPerKg: 40, SulfateMgPerKg: 30})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := NewColumn(s, sol.Totals, 125, 0.5, true); err != nil {
			b.Fatal(err)
		}
	}
}
