package equilibrium

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"limekeep/water"
	"limekeep/water/steam"
	"limekeep/water/watertest"
)

func TestMixingConserves(t *testing.T) {
	s := NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		a, b := watertest.Solve(t, s.Speciate, watertest.Draw(t)), watertest.Solve(t, s.Speciate, watertest.Draw(t))
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		mixed, err := water.Mix(a.Totals, b.Totals, share)
		if err != nil {
			t.Fatal(err)
		}
		sol, err := s.Equilibrate(mixed, 20)
		if err != nil {
			t.Fatal(err)
		}
		// Read back from pH and alkalinity: the carbon must come out the same.
		back := watertest.Solve(t, s.Speciate, sol.Analysis()).Totals
		for name, c := range map[string][3]float64{
			"calcium":    {a.Totals.Calcium, b.Totals.Calcium, back.Calcium},
			"alkalinity": {a.Totals.Alkalinity, b.Totals.Alkalinity, back.Alkalinity},
			"carbon":     {a.Totals.Carbon, b.Totals.Carbon, back.Carbon},
			"sulfate":    {a.Totals.Sulfate, b.Totals.Sulfate, back.Sulfate},
			"silica":     {a.Totals.Silica, b.Totals.Silica, back.Silica},
		} {
			if want := (1-share)*c[0] + share*c[1]; math.Abs(c[2]-want) > 1e-9+1e-7*want {
				t.Errorf("%s is %g mol/kg, want %g", name, c[2], want)
			}
		}
	})
}

func TestMixRefuses(t *testing.T) {
	for _, share := range []float64{-0.1, 1.1, math.NaN()} {
		if _, err := water.Mix(water.Totals{}, water.Totals{}, share); err == nil {
			t.Errorf("share %g: no error", share)
		}
	}
}

// After the potential has left, the water is saturated, has lost calcium,
// carbon and twice the alkalinity by that much, and has no potential left.
func TestPotentialLeavesSaturation(t *testing.T) {
	s := NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		sol := watertest.Solve(t, s.Speciate, watertest.Draw(t))
		celsius := rapid.Float64Range(0, 140).Draw(t, "to")
		offset := rapid.Float64Range(-0.4, 0.4).Draw(t, "offset")
		p, err := s.ClosedPrecipitation(sol.Totals, celsius, offset)
		if err != nil {
			t.Fatal(err)
		}
		x := p.CalciteMmolPerKg / 1000
		left := sol.Totals
		left.Calcium -= x
		left.Carbon -= x
		left.Alkalinity -= 2 * x
		again, err := s.Equilibrate(left, celsius)
		if err != nil {
			t.Fatal(err)
		}
		if si := again.SaturationIndex(Calcite) + offset; math.Abs(si) > 1e-6 {
			t.Errorf("saturation index %g, want 0", si)
		}
		if math.Abs(again.PH-p.Solution.PH) > 1e-6 {
			t.Errorf("pH %g, want %g", again.PH, p.Solution.PH)
		}
		rest, err := s.ClosedPrecipitation(left, celsius, offset)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(rest.CalciteMmolPerKg) > 1e-6 {
			t.Errorf("%g mmol/kg still to form, want 0", rest.CalciteMmolPerKg)
		}
	})
}

// mostLevelPH is the pH up to which heating always raises the index of calcite.
// Above it alkalinity is carbonate already, so heating makes no more of it,
// while sulfate and magnesium pair better: the index may then stay level or fall
// by a few thousandths in ten degrees, as it does in the published constants.
const mostLevelPH = 8.2

func TestHeatingRaisesSaturation(t *testing.T) {
	s := NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		a := watertest.Draw(t)
		a.AlkalinityMgPerKgCaCO3 += 50
		sol := watertest.Solve(t, s.Speciate, a)
		low := rapid.Float64Range(5, 135).Draw(t, "from")
		high := low + rapid.Float64Range(1, 140-low).Draw(t, "by")
		cold, err := s.Equilibrate(sol.Totals, low)
		if err != nil {
			t.Fatal(err)
		}
		hot, err := s.Equilibrate(sol.Totals, high)
		if err != nil {
			t.Fatal(err)
		}
		rise, least := hot.SaturationIndex(Calcite)-cold.SaturationIndex(Calcite), 0.0
		if a.PH > mostLevelPH {
			least = -0.003 * (high - low)
		}
		if rise <= least {
			t.Errorf("pH %g: the index rises by %g from %g to %g °C, want more than %g", a.PH, rise, low, high, least)
		}
	})
}

// More driving force always forms more calcite.
func TestPotentialRisesWithOffset(t *testing.T) {
	s := NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		sol := watertest.Solve(t, s.Speciate, watertest.Draw(t))
		celsius := rapid.Float64Range(0, 140).Draw(t, "celsius")
		gas := rapid.Float64Range(-4.5, -1).Draw(t, "log pCO2")
		for name, f := range map[string]func(offset float64) (Precipitation, error){
			"closed": func(x float64) (Precipitation, error) { return s.ClosedPrecipitation(sol.Totals, celsius, x) },
			"open":   func(x float64) (Precipitation, error) { return s.OpenPrecipitation(sol.Totals, celsius, gas, x) },
		} {
			less, err := f(0)
			if err != nil {
				t.Fatal(err)
			}
			more, err := f(0.1)
			if err != nil {
				t.Fatal(err)
			}
			if !(more.CalciteMmolPerKg > less.CalciteMmolPerKg) {
				t.Errorf("%s: %g mmol/kg becomes %g", name, less.CalciteMmolPerKg, more.CalciteMmolPerKg)
			}
		}
	})
}

// What boils down is fed less what left as solid, each solid is saturated or
// absent, and carbon balances in a steam boiler.
func TestBoilingDownBalances(t *testing.T) {
	s := NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		sol := watertest.Solve(t, s.Speciate, watertest.Draw(t))
		celsius := rapid.Float64Range(101, 140).Draw(t, "celsius")
		factor := rapid.Float64Range(1, 10).Draw(t, "factor")
		brucite := rapid.Bool().Draw(t, "brucite")
		offset := rapid.Float64Range(-0.3, 0.3).Draw(t, "offset")
		held, err := s.Evaporate(sol.Totals, celsius, factor, -3, offset, brucite)
		if err != nil {
			t.Fatal(err)
		}
		steady, err := s.SteamPrecipitation(sol.Totals, celsius, factor, factor-1, offset, brucite)
		if err != nil {
			t.Fatal(err)
		}
		for name, p := range map[string]Precipitation{"held": held, "steady": steady} {
			calcite, anhydrite, hydroxide := p.CalciteMmolPerKg/1000, p.AnhydriteMmolPerKg/1000, p.BruciteMmolPerKg/1000
			left, fed := p.Solution.Totals.Times(1/factor), sol.Totals
			for element, c := range map[string][2]float64{
				"calcium":    {left.Calcium + calcite + anhydrite, fed.Calcium},
				"magnesium":  {left.Magnesium + hydroxide, fed.Magnesium},
				"sulfate":    {left.Sulfate + anhydrite, fed.Sulfate},
				"alkalinity": {left.Alkalinity + 2*calcite + 2*hydroxide, fed.Alkalinity},
			} {
				if math.Abs(c[0]-c[1]) > 1e-9 {
					t.Errorf("%s: %s adds up to %g mol/kg, fed %g", name, element, c[0], c[1])
				}
			}
			for mineral, amount := range map[Mineral]float64{Calcite: calcite, Anhydrite: anhydrite, Brucite: hydroxide} {
				if mineral == Brucite && !brucite {
					continue
				}
				si := p.Solution.SaturationIndex(mineral)
				if mineral == Calcite {
					si += offset
				}
				if amount < 0 || si > 1e-6 || amount > 1e-9 && si < -1e-6 {
					t.Errorf("%s: %v %g mol/kg at index %g", name, mineral, amount, si)
				}
			}
			// The answer must be a state of rest: the same totals give its pH.
			rest, err := s.Equilibrate(p.Solution.Totals, celsius)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(rest.PH-p.Solution.PH) > 1e-5 {
				t.Errorf("%s: pH %g, its totals give %g", name, p.Solution.PH, rest.PH)
			}
		}
		pressure := steam.SaturationMPa(celsius + water.KelvinAtZeroCelsius)
		steam := (1 - 1/factor) * 55.506 * math.Pow(10, steady.Solution.Log10PCO2) * water.MegapascalPerAtm / pressure
		carbon := steady.Solution.Totals.Carbon/factor + steady.CalciteMmolPerKg/1000 + steam
		if math.Abs(carbon-sol.Totals.Carbon) > 1e-9+1e-7*carbon {
			t.Errorf("carbon adds up to %g mol/kg, fed %g", carbon, sol.Totals.Carbon)
		}
	})
}

// The answers must not depend on what the workspace was asked before.
func TestSolverForgets(t *testing.T) {
	used := NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		a := watertest.Draw(t)
		fresh := NewSolver()
		one, err1 := fresh.Speciate(a)
		two, err2 := used.Speciate(a)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		p1, err1 := fresh.ClosedPrecipitation(one.Totals, 93, 0)
		p2, err2 := used.ClosedPrecipitation(two.Totals, 93, 0)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if one != two || p1 != p2 {
			t.Error("a used workspace answers differently")
		}
	})
}

func TestSolverRefuses(t *testing.T) {
	s := NewSolver()
	sol, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	nan := math.NaN()
	for name, f := range map[string]func() error{
		"hot":             func() error { _, err := s.Equilibrate(sol.Totals, 141); return err },
		"NaN temperature": func() error { _, err := s.ClosedPrecipitation(sol.Totals, nan, 0); return err },
		"NaN offset":      func() error { _, err := s.ClosedPrecipitation(sol.Totals, 90, nan); return err },
		"NaN gas":         func() error { _, err := s.OpenPrecipitation(sol.Totals, 90, nan, 0); return err },
		"much gas":        func() error { _, err := s.OpenPrecipitation(sol.Totals, 90, 2, 0); return err },
		"NaN factor":      func() error { _, err := s.Evaporate(sol.Totals, 120, nan, -3, 0, false); return err },
		"brine":           func() error { _, err := s.Evaporate(sol.Totals, 120, 999, -3, 0, false); return err },
		"factor below 1":  func() error { _, err := s.SteamPrecipitation(sol.Totals, 120, 0.5, -0.5, 0, false); return err },
		"negative salt":   func() error { _, err := s.Equilibrate(water.Totals{Sodium: -1}, 20); return err },
		"NaN carbon":      func() error { _, err := s.Equilibrate(water.Totals{Carbon: nan}, 20); return err },
		"carbon":          func() error { _, err := s.SpeciateCarbon(watertest.Plain, -1); return err },
		"hydroxide": func() error {
			a := watertest.Plain
			a.PH, a.AlkalinityMgPerKgCaCO3 = 11, 10
			_, err := s.Speciate(a)
			return err
		},
		"fizz": func() error {
			a := watertest.Plain
			a.PH, a.AlkalinityMgPerKgCaCO3 = 3, 400
			_, err := s.Speciate(a)
			return err
		},
	} {
		if err := f(); err == nil {
			t.Errorf("%s: no error", name)
		} else if wrong := (*water.ValueError)(nil); !errors.As(err, &wrong) {
			t.Errorf("%s: %v, want a ValueError", name, err)
		}
	}
}

// Water behind reverse osmosis or distilled must be accepted, too, down to
// none of anything.
func TestPureWater(t *testing.T) {
	s := NewSolver()
	for _, ph := range []float64{5.6, 6.5, 7, 8.5} {
		sol, err := s.Speciate(water.Analysis{MeasuredCelsius: 25, PH: ph})
		if err != nil {
			t.Errorf("pH %g: %v", ph, err)
			continue
		}
		if math.Abs(sol.PH-ph) > 1e-12 {
			t.Errorf("pH %g became %g", ph, sol.PH)
		}
	}
	for celsius, want := range map[float64]float64{0: 7.47, 25: 7.00, 60: 6.51, 100: 6.13} {
		// Neutral points from the CRC Handbook's table of pKw (from memory).
		sol, err := s.Equilibrate(water.Totals{}, celsius)
		if err != nil || math.Abs(sol.PH-want) > 0.02 {
			t.Errorf("%g °C: pH %.3f, %v, want %g", celsius, sol.PH, err, want)
		}
	}
}

// What Speciate takes for the alkalinity is what SpeciateCarbon finds.
func TestSpeciationsAgree(t *testing.T) {
	s := NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		a := watertest.Draw(t)
		one := watertest.Solve(t, s.Speciate, a)
		two, err := s.SpeciateCarbon(a, one.Totals.Carbon)
		if err != nil {
			t.Fatal(err)
		}
		three, err := s.Equilibrate(one.Totals, a.MeasuredCelsius)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(two.Totals.Alkalinity-one.Totals.Alkalinity) > 1e-9 {
			t.Errorf("alkalinity %g, want %g", two.Totals.Alkalinity, one.Totals.Alkalinity)
		}
		if math.Abs(three.PH-a.PH) > 1e-6 {
			t.Errorf("pH %g, want %g", three.PH, a.PH)
		}
	})
}

// ExampleSolver works out water 1 of DIN 38404-10:2012-12, table 4, whose pH
// at calcite saturation the standard gives as 7.66 and its carbon as 2.74.
func ExampleSolver() {
	s := NewSolver()
	cold, err := s.Speciate(water.Analysis{
		MeasuredCelsius: 10, PH: 7.34,
		CalciumMgPerKg: 56.1, MagnesiumMgPerKg: 5.59, SodiumMgPerKg: 6.90, PotassiumMgPerKg: 1.95,
		AlkalinityMgPerKgCaCO3: 122.6, ChlorideMgPerKg: 8.86, SulfateMgPerKg: 36.5, NitrateMgPerKg: 9.30,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := s.ClosedPrecipitation(cold.Totals, 10, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("carbon %.2f mmol/kg, pH at saturation %.2f\n", cold.Totals.Carbon*1000, p.Solution.PH)
	// Output: carbon 2.75 mmol/kg, pH at saturation 7.69
}
