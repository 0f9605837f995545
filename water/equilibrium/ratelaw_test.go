package equilibrium

import (
	"errors"
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/watertest"
)

// Constants at 25 °C as printed in the paper's figures: k1 0.051 cm/s, k2
// 3.45e-5 cm/s, k3 1.19e-7 mmol/cm²/s (Plummer and others 1978).
func TestCalciteRateConstants(t *testing.T) {
	k1, k2, k3, err := calciteRateConstants(25)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{{"k1", k1, 0.051}, {"k2", k2, 3.45e-5}, {"k3", k3, 1.19e-7}} {
		if math.Abs(c.got/c.want-1) > 0.01 {
			t.Errorf("%s = %.3g, want %.3g", c.name, c.got, c.want)
		}
	}
	_, _, above, err := calciteRateConstants(25.0001)
	if err != nil || math.Abs(above/k3-1) > 0.01 {
		t.Errorf("k3 jumps from %.4g to %.4g at 25 °C, %v", k3, above, err)
	}
}

// An independent compilation gives far from saturation at 25 °C log k of -0.30
// on the activity of H+ and -5.81 in neutral water, mol/m²/s: Palandri and
// Kharaka (2004), USGS Open File Report 2004-1068 (from memory).
func TestCalciteRateFarFromSaturation(t *testing.T) {
	s := NewSolver()
	for _, c := range []struct{ ph, want float64 }{{4, -4.30}, {7, -5.81}} {
		sol, err := s.SpeciateCarbon(water.Analysis{MeasuredCelsius: 25, PH: c.ph, CalciumMgPerKg: 0.001}, 1e-9)
		if err != nil {
			t.Fatal(err)
		}
		rate, err := CalciteRate(sol)
		if err != nil {
			t.Fatal(err)
		}
		// 1 mmol/cm² is 10 mol/m².
		if got := math.Log10(rate * 10); math.Abs(got-c.want) > 0.15 {
			t.Errorf("pH %g: log rate %.2f, want %.2f", c.ph, got, c.want)
		}
	}
}

// The sign follows saturation, and at saturation nothing moves.
func TestCalciteRateSign(t *testing.T) {
	s := NewSolver()
	sol, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	for _, celsius := range []float64{5, 25, 60} {
		at, err := s.Equilibrate(sol.Totals, celsius)
		if err != nil {
			t.Fatal(err)
		}
		rate, err := CalciteRate(at)
		if err != nil {
			t.Fatal(err)
		}
		if si := at.SaturationIndex(Calcite); si*rate >= 0 {
			t.Errorf("%g °C: index %g, rate %g", celsius, si, rate)
		}
		p, err := s.ClosedPrecipitation(sol.Totals, celsius, 0)
		if err != nil {
			t.Fatal(err)
		}
		still, err := CalciteRate(p.Solution)
		if err != nil || math.Abs(still) > 1e-6*math.Abs(rate) {
			t.Errorf("%g °C: rate at saturation %g, %v", celsius, still, err)
		}
	}
}

func TestCalciteRateRange(t *testing.T) {
	var v *water.ValueError
	for _, celsius := range []float64{4.9, 60.1, 93, math.NaN()} {
		if _, err := CalciteRate(Solution{Celsius: celsius}); !errors.As(err, &v) {
			t.Errorf("%g °C: %v, want a ValueError", celsius, err)
		}
	}
}
