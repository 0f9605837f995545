package wear

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"limekeep/water/figure"
)

// Each of the equal slices of (0, 1) holds one number: that is what makes it a
// Latin hypercube (McKay, Beckman and Conover 1979, Technometrics 21, 239).
func TestUniformsAreStratified(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 300).Draw(t, "worlds")
		d := Draws{Place: rapid.String().Draw(t, "place"), Worlds: n}
		u := d.Uniforms(rapid.String().Draw(t, "block"), rapid.String().Draw(t, "unknown"))
		sorted := slices.Sorted(slices.Values(u))
		for i, x := range sorted {
			if x <= float64(i)/float64(n) || x >= float64(i+1)/float64(n) {
				t.Fatalf("number %d of %d is %v", i, n, x)
			}
		}
	})
}

// Numbers of different unknowns must not go together: the correlation of two
// independent samples of n stays within 4/√n but once in 16,000.
func TestUniformsOfDifferentUnknownsAreIndependent(t *testing.T) {
	d := Draws{Place: "p", Worlds: 2000}
	names := []string{"a", "b", "ab", "limit/x", "limit/y", "drift/1", "drift/2"}
	for i, a := range names {
		for _, b := range names[i+1:] {
			if r := correlation(d.Uniforms("block", a), d.Uniforms("block", b)); math.Abs(r) > 4/math.Sqrt(2000) {
				t.Errorf("%q and %q correlate by %.3f", a, b, r)
			}
		}
	}
	if slices.Equal(d.Uniforms("ab", "c"), d.Uniforms("a", "bc")) {
		t.Error("block and unknown run into each other")
	}
}

func correlation(x, y []float64) float64 {
	var mx, my, xy, xx, yy float64
	for i := range x {
		mx += x[i] / float64(len(x))
		my += y[i] / float64(len(y))
	}
	for i := range x {
		xy += (x[i] - mx) * (y[i] - my)
		xx += (x[i] - mx) * (x[i] - mx)
		yy += (y[i] - my) * (y[i] - my)
	}
	return xy / math.Sqrt(xx*yy)
}

func TestSpreadHitsItsPoints(t *testing.T) {
	s := figure.Percentiles{Low: 6, Likely: 12, High: 18}
	for u, want := range map[float64]float64{0.1: 6, 0.5: 12, 0.9: 18} {
		if got := s.At(u); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %v: %v, want %v", u, got, want)
		}
	}
	// The standard normal's 97.5 % point, 1.959964 in every table.
	if got := figure.NormalQuantile(0.975); math.Abs(got-1.959964) > 1e-6 {
		t.Errorf("normal quantile %v", got)
	}
}
