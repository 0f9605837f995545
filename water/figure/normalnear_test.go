package figure_test

import (
	"math"
	"testing"

	"limekeep/water/figure"
)

// What is asked a million times is NormalBelow within 3e-10 all over, at the ends of the
// table as well.
func TestNormalBelowNear(t *testing.T) {
	for z := -9.0; z <= 9; z += 1.0 / 1024 {
		if got, want := figure.NormalBelowNear(z), figure.NormalBelow(z); math.Abs(got-want) > 3e-10 {
			t.Fatalf("below %v lie %v, not %v", z, got, want)
		}
	}
	for _, z := range []float64{-5, math.Nextafter(5, 0), 5, math.Inf(-1), math.Inf(1)} {
		if got, want := figure.NormalBelowNear(z), figure.NormalBelow(z); math.Abs(got-want) > 3e-10 {
			t.Errorf("below %v lie %v, not %v", z, got, want)
		}
	}
	if !math.IsNaN(figure.NormalBelowNear(math.NaN())) {
		t.Error("of no number something lies below")
	}
}
