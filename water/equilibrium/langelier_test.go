package equilibrium

import (
	"errors"
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/watertest"
)

// The worked example handbooks pass on (from memory): pH 7.5, 320 mg/L of
// dissolved solids, calcium 150 and alkalinity 34 mg/L as CaCO3 give about
// -0.7 at 25 °C and +0.3 at 82 °C.
func TestLangelierIndex(t *testing.T) {
	for _, c := range []struct{ celsius, want float64 }{{25, -0.73}, {82, 0.27}} {
		got, err := LangelierIndex(7.5, c.celsius, 320, 150, 34)
		if err != nil || math.Abs(got-c.want) > 0.05 {
			t.Errorf("%g °C: %.3f, %v, want %.2f", c.celsius, got, err, c.want)
		}
	}
	ryznar, err := RyznarIndex(7.5, 25, 320, 150, 34)
	if err != nil {
		t.Fatal(err)
	}
	// RI = pH - 2·LSI, by the two definitions.
	langelier, err := LangelierIndex(7.5, 25, 320, 150, 34)
	if err != nil || math.Abs(ryznar-(7.5-2*langelier)) > 1e-12 {
		t.Errorf("Ryznar %g does not follow from Langelier %g, %v", ryznar, langelier, err)
	}
}

// For plain water at 25 °C the short form comes within 0.25 of the index from
// full speciation: it was made for that.
func TestLangelierAgainstSpeciation(t *testing.T) {
	s := NewSolver()
	sol, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	at, err := s.Equilibrate(sol.Totals, 25)
	if err != nil {
		t.Fatal(err)
	}
	short, err := LangelierIndex(at.PH, 25, 260, 60*water.MolarMassCalcite/water.MolarMassCalcium, 150)
	if err != nil {
		t.Fatal(err)
	}
	if full := at.SaturationIndex(Calcite); math.Abs(short-full) > 0.25 {
		t.Errorf("short form %.2f, speciation %.2f", short, full)
	}
}

func TestIndexRefuses(t *testing.T) {
	var v *water.ValueError
	for _, c := range [][5]float64{
		{1, 25, 320, 150, 34}, {7.5, 120, 320, 150, 34}, {7.5, 25, 0, 150, 34},
		{7.5, 25, 320, math.NaN(), 34}, {7.5, 25, 320, 150, 0},
	} {
		if got, err := LangelierIndex(c[0], c[1], c[2], c[3], c[4]); !errors.As(err, &v) || !math.IsNaN(got) {
			t.Errorf("%v: %g, %v, want NaN and a ValueError", c, got, err)
		}
		if got, err := RyznarIndex(c[0], c[1], c[2], c[3], c[4]); !errors.As(err, &v) || !math.IsNaN(got) {
			t.Errorf("%v: %g, %v, want NaN and a ValueError", c, got, err)
		}
	}
}
