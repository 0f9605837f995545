package inference

import (
	"fmt"
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/watertest"
)

// setOfCalcium is a set of waters with nothing but calcium in them.
func setOfCalcium(weights ...float64) Set {
	var s Set
	for i, w := range weights {
		s.Analyses = append(s.Analyses, water.Analysis{CalciumMgPerKg: float64(10 * (i + 1))})
		s.Weights = append(s.Weights, w)
	}
	return s
}

func TestSetPick(t *testing.T) {
	s := setOfCalcium(0.2, 0, 0.5, 0.3)
	for _, c := range []struct {
		u    float64
		want int
	}{{0.0001, 0}, {0.1999, 0}, {0.2001, 2}, {0.6999, 2}, {0.7001, 3}, {0.9999, 3}, {1, 3}} {
		if got := s.Pick(c.u); got != c.want {
			t.Errorf("Pick(%g) = %d, want %d", c.u, got, c.want)
		}
	}
	if got := (Set{}).Pick(0.5); got != -1 {
		t.Errorf("Pick from nothing = %d, want -1", got)
	}
}

func TestSetQuantile(t *testing.T) {
	s := setOfCalcium(0.2, 0, 0.5, 0.3)
	down := func(a water.Analysis) float64 { return -a.CalciumMgPerKg }
	calcium := func(a water.Analysis) float64 { return a.CalciumMgPerKg }
	for _, c := range []struct {
		p    float64
		f    func(water.Analysis) float64
		want float64
	}{{0, calcium, 10}, {0.2, calcium, 10}, {0.21, calcium, 30}, {0.7, calcium, 30}, {0.71, calcium, 40}, {1, calcium, 40}, {0.3, down, -40}, {0.31, down, -30}} {
		if got := s.Quantile(c.p, c.f); got != c.want {
			t.Errorf("quantile %g = %g, want %g", c.p, got, c.want)
		}
	}
	if got := (Set{}).Quantile(0.5, calcium); !math.IsNaN(got) {
		t.Errorf("quantile of nothing = %g", got)
	}
}

func TestSetShareAndEffectiveSize(t *testing.T) {
	s := setOfCalcium(0.2, 0, 0.5, 0.3)
	if got := s.Share(func(a water.Analysis) bool { return a.CalciumMgPerKg > 25 }); math.Abs(got-0.8) > 1e-12 {
		t.Errorf("share %g, want 0.8", got)
	}
	if got, want := s.EffectiveSize(), 1/(0.04+0.25+0.09); math.Abs(got-want) > 1e-12 {
		t.Errorf("effective size %g, want %g", got, want)
	}
	if got := setOfCalcium(2, 2, 2, 2).EffectiveSize(); math.Abs(got-4) > 1e-12 {
		t.Errorf("effective size of four equal weights: %g", got)
	}
}

// Thinning keeps shares to within one part in n and the order of what limits
// scale.
func TestThin(t *testing.T) {
	const n = 40
	pool := newSampler(nil, 2000, watertest.Uniform(3)).run()
	set := pool.thin(n, 0.37, 15)
	limit := func(a water.Analysis) float64 {
		return math.Min(a.CalciumMgPerKg/water.MolarMassCalcium*2, a.AlkalinityMgPerKgCaCO3/water.EquivalentMassCaCO3)
	}
	for i := 1; i < len(set.Analyses); i++ {
		if limit(set.Analyses[i]) < limit(set.Analyses[i-1])*(1-1e-12) {
			t.Fatalf("analysis %d stands before one with a lower limit of scale", i-1)
		}
	}
	ws := pool.weights(1)
	for _, cut := range []float64{0.5, 1, 2, 3, 5} {
		var whole float64
		for i := range pool.z {
			var totals water.Totals
			pool.z[i].totals(&totals)
			if 1000*math.Min(2*totals.Calcium, totals.Alkalinity) < cut {
				whole += ws[i]
			}
		}
		if got := set.Share(func(a water.Analysis) bool { return limit(a) < cut }); math.Abs(got-whole) > 1.0/n+1e-9 {
			t.Errorf("share below %g meq/kg: %.4f of the set, %.4f of the pool", cut, got, whole)
		}
	}
}

// A drop test of hardness and alkalinity, and what it leaves open.
func ExampleFromTest() {
	test := water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: 15, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 11, Unit: water.GermanDegree, Method: water.MethodDrop},
	}}
	set, err := FromTest(test, SetSize, watertest.Uniform(1))
	if err != nil {
		fmt.Println(err)
		return
	}
	calcium := func(a water.Analysis) float64 { return a.CalciumMgPerKg }
	// To two figures: 15 °dH is 268 mg/L CaCO3, 107 mg/L if all were calcium.
	fmt.Printf("calcium %.2g to %.2g mg/L\n", set.Quantile(0.1, calcium), set.Quantile(0.9, calcium))
	// Output: calcium 65 to 95 mg/L
}

func ExampleUnit() {
	unit, err := water.ParseUnit("°dH")
	if err != nil {
		fmt.Println(err)
		return
	}
	mgPerL, err := water.Hardness.Canonical(10, unit)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("10 %s = %.1f %s\n", unit, mgPerL, water.Hardness.Unit())
	// Output: 10 dH = 178.5 mg/L CaCO3
}
