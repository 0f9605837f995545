package corrosion

import (
	"errors"
	"math"
	"testing"

	"limekeep/water"
)

func TestLarsonSkoldIndex(t *testing.T) {
	// One milliequivalent of each: (1 + 1)/1.
	a := water.Analysis{MeasuredCelsius: 15, PH: 7.5, ChlorideMgPerKg: 35.45, SulfateMgPerKg: 48.03, AlkalinityMgPerKgCaCO3: 50.04}
	got, err := LarsonSkoldIndex(a)
	if err != nil || math.Abs(got-2) > 0.001 {
		t.Errorf("%g, %v, want 2", got, err)
	}
	a.AlkalinityMgPerKgCaCO3 = 0
	var v *water.ValueError
	if _, err := LarsonSkoldIndex(a); !errors.As(err, &v) {
		t.Errorf("%v, want a ValueError", err)
	}
}
