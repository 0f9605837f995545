package boiler

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
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
				got := c.ScaleMgPerKg(n, NewOffset(offset))
				// Allowed: 2 % of what the water could lay down, or 2 mg per
				// kg, where the first of a soft water's scale forms.
				off := math.Abs(got - grams)
				worst = max(worst, off/max(grams, 50))
				if off > 0.02*grams+2 {
					t.Errorf("%g fold, offset %g: %.2f mg/kg of scale, want %.2f (%+v)", n, offset, got, grams, a)
				}
				at := c.At(n, NewOffset(offset))
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

// Which solids are taken to be likely changes nothing of what is found, to the bit: of the
// reference waters and of invented ones, at every point of a column, from every set.
func TestLikelySolidsChangeNothing(t *testing.T) {
	s := equilibrium.NewSolver()
	sets := map[equilibrium.Solids]int{}
	for i, a := range sampledWaters(t) {
		if i%4 != 0 {
			continue
		}
		sol, err := s.Speciate(a)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range []float64{1, 5, 18} {
			n = min(n, mostConcentration(&sol.Totals))
			var want cell
			if err := want.fill(s, equilibrium.Likely(equilibrium.Solids{Calcite: true}), sol.Totals, 125, n, 0.3, 0.2, true); err != nil {
				t.Fatal(err)
			}
			sets[equilibrium.Solids{Calcite: want[0] > 0, Anhydrite: want[1] > 0, Brucite: want[2] > 0}]++
			for set := range 8 {
				likely := equilibrium.Solids{Calcite: set&1 != 0, Anhydrite: set&2 != 0, Brucite: set&4 != 0}
				var got cell
				if err := got.fill(s, equilibrium.Likely(likely), sol.Totals, 125, n, 0.3, 0.2, true); err != nil {
					t.Fatal(err)
				}
				if got != want {
					t.Errorf("%+v, %g fold: from %+v it is %v, want %v", a, n, likely, got, want)
				}
			}
		}
	}
	if len(sets) < 3 {
		t.Errorf("only %v form", sets)
	}
}

func BenchmarkColumn(b *testing.B) {
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

// What the column says is dissolved and what it says formed must add up to what
// was fed, and chloride must go up just as the concentration does.
func TestColumnConserves(t *testing.T) {
	s := equilibrium.NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		feed := watertest.Solve(t, s.Speciate, watertest.Draw(t)).Totals
		celsius, steam := rapid.Float64Range(101, 140).Draw(t, "celsius"), rapid.Float64Range(0, 1).Draw(t, "steam")
		column, err := NewColumn(s, feed, celsius, steam, rapid.Bool().Draw(t, "brucite"))
		if err != nil {
			t.Fatal(err)
		}
		n := rapid.Float64Range(0.5, column.most).Draw(t, "concentration")
		p := column.At(n, NewOffset(rapid.Float64Range(-0.2, 0.2).Draw(t, "offset")))
		w := p.Water
		for name, c := range map[string][2]float64{
			"calcium":   {feed.Calcium, w.Calcium/n + (p.CalciteMmolPerKg+p.AnhydriteMmolPerKg)/1000},
			"magnesium": {feed.Magnesium, w.Magnesium/n + p.BruciteMmolPerKg/1000},
			"chloride":  {feed.Chloride, w.Chloride / n},
			"sulfur":    {feed.Sulfate, w.Sulfate/n + p.AnhydriteMmolPerKg/1000},
		} {
			if math.Abs(c[0]-c[1]) > 1e-9+0.005*c[0] {
				t.Errorf("%s: fed %g mol/kg, found %g", name, c[0], c[1])
			}
		}
		if p.CalciteMmolPerKg < 0 || p.AnhydriteMmolPerKg < 0 || p.BruciteMmolPerKg < 0 {
			t.Errorf("something dissolves: %+v", p)
		}
	})
}

func TestColumnEdges(t *testing.T) {
	s := equilibrium.NewSolver()
	salty := water.Totals{Sodium: 0.05, Chloride: 0.05, Calcium: 1e-3, Alkalinity: 2e-3, Carbon: 2e-3}
	for name, feed := range map[string]water.Totals{
		"pure":      {},
		"no carbon": {Calcium: 1e-3, Chloride: 2e-3},
		"acid":      {Chloride: 1e-3, Alkalinity: -1e-3},
		"salty":     salty,
	} {
		column, err := NewColumn(s, feed, 120, 0.9, true)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if (name == "salty") != (column.most < MostConcentration) {
			t.Errorf("%s: reaches %g fold", name, column.most)
		}
		for _, n := range []float64{0, 1, 20, 40, 1e6} {
			p := column.At(n, NewOffset(0))
			if !(p.PH > 1 && p.PH < 13) || p.CalciteMmolPerKg < 0 {
				t.Errorf("%s at %g: %+v", name, n, p)
			}
		}
	}
	// Water that is too salty to be concentrated forty fold.
	for _, share := range []float64{0.5, 0.9, 0.99} {
		n := share * mostConcentration(&salty)
		want, err := Steady(s, salty, 120, n, 0, false)
		if err != nil {
			t.Fatal(err)
		}
		column, err := NewColumn(s, salty, 120, 1-1/n, false)
		if err != nil {
			t.Fatal(err)
		}
		watertest.Near(t, fmt.Sprintf("calcite of salty water, %.3g fold", n), column.At(n, NewOffset(0)).CalciteMmolPerKg, want.CalciteMmolPerKg, 0.01)
	}
	var value *water.ValueError
	if _, err := NewColumn(s, water.Totals{Calcium: -1}, 120, 0.5, false); !errors.As(err, &value) {
		t.Errorf("negative calcium: %v, want a ValueError", err)
	}
	if _, err := NewColumn(s, water.Totals{}, 99, 0.5, false); !errors.As(err, &value) {
		t.Errorf("cold: %v, want a ValueError", err)
	}
	if _, err := NewColumn(s, water.Totals{}, 120, 1.5, false); !errors.As(err, &value) {
		t.Errorf("more steam than feed: %v, want a ValueError", err)
	}
}
