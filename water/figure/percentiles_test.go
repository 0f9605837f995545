package figure_test

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"limekeep/water/figure"
)

// Points of the standard normal distribution as tables have them (NIST/SEMATECH
// e-Handbook of Statistical Methods, 1.3.6.7.1).
func TestNormal(t *testing.T) {
	for z, share := range map[float64]float64{0: 0.5, 1: 0.84134, 1.28: 0.89973, 1.96: 0.97500, -1.64: 0.05050, 3: 0.99865} {
		if got := figure.NormalBelow(z); math.Abs(got-share) > 5e-6 {
			t.Errorf("below %v lie %v, not %v", z, got, share)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "u")
		z := figure.NormalQuantile(u)
		if want := distuv.UnitNormal.Quantile(u); math.Abs(z-want) > 1e-9 {
			t.Fatalf("%v: %v, gonum has %v", u, z, want)
		}
		if back := figure.NormalBelow(z); math.Abs(back-u) > 1e-12 {
			t.Fatalf("%v leads to %v and back to %v", u, z, back)
		}
	})
	if got := figure.NormalQuantile(0.9); math.Abs(got-figure.Z90) > 1e-15 {
		t.Errorf("the 90 %% point is %v, not %v", got, figure.Z90)
	}
}

// Weighted quantiles are the empirical ones of gonum; equal weights are those of
// the values alone but for the rank that the share falls on itself.
func TestQuantiles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-10, 10), 1, 60).Draw(t, "values")
		weights := rapid.SliceOfN(rapid.IntRange(0, 5), len(values), len(values)).Draw(t, "weights")
		asked := slices.Clone(values)
		ws := make([]float64, len(values))
		sum := 0
		for i, w := range weights {
			ws[i] = float64(w)
			sum += w
		}
		got := figure.OverWeighted(values, ws)
		if !slices.Equal(values, asked) {
			t.Fatal("the values were put into another order")
		}
		if sum == 0 {
			if !math.IsNaN(got.Likely) {
				t.Fatalf("no weight gives %v", got)
			}
			return
		}
		sorted, sortedWeights := slices.Clone(values), slices.Clone(ws)
		stat.SortWeighted(sorted, sortedWeights)
		at := func(p float64) float64 { return stat.Quantile(p, stat.Empirical, sorted, sortedWeights) }
		if want := (figure.Percentiles{Low: at(0.1), Likely: at(0.5), High: at(0.9)}); got != want {
			t.Fatalf("%v, gonum has %v", got, want)
		}
	})
}

func TestOver(t *testing.T) {
	values := make([]float64, 1000)
	for i := range values {
		values[i] = float64(999 - i)
	}
	if got, want := figure.Over(values), (figure.Percentiles{Low: 100, Likely: 500, High: 900}); got != want {
		t.Errorf("%v, not %v", got, want)
	}
	if got := figure.Over([]float64{7}); got != figure.Sure(7) {
		t.Errorf("one value gives %v", got)
	}
	if values[0] != 999 {
		t.Error("the values were put into another order")
	}
	if got := figure.Quantile([]string{"a", "b"}, 1); got != "b" {
		t.Errorf("all of them do not exceed %q", got)
	}
}

// Percentiles that are those of a log-normal distribution give all its other
// points back.
func TestAt(t *testing.T) {
	d := distuv.LogNormal{Mu: 2, Sigma: 0.4}
	p := figure.By(d.Quantile)
	for _, u := range []float64{0.001, 0.1, 0.3, 0.5, 0.77, 0.9, 0.999} {
		if got, want := p.At(u), d.Quantile(u); math.Abs(got/want-1) > 1e-9 {
			t.Errorf("%v: %v, not %v", u, got, want)
		}
	}
	wide := figure.By(distuv.LogNormal{Mu: 2, Sigma: 0.5}.Quantile)
	if got := p.Widened(0.3); math.Abs(got.Low/wide.Low-1) > 1e-9 || math.Abs(got.High/wide.High-1) > 1e-9 || got.Likely != p.Likely {
		t.Errorf("with another error of 0.3 %v, not %v", got, wide)
	}
	if got := p.Times(2); got.At(0.3) != 2*p.At(0.3) {
		t.Errorf("twice %v is %v", p, got)
	}
	for i, f := range figure.LogNormal([]float64{0.1, 0.5, 0.9}, 0.4) {
		if want := []float64{p.Low, p.Likely, p.High}[i] / math.Exp(2); math.Abs(f/want-1) > 1e-9 {
			t.Errorf("factor %d is %v, not %v", i, f, want)
		}
	}
}
