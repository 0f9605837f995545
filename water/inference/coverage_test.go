package inference

import (
	"math/rand/v2"
	"sync/atomic"
	"testing"

	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// coverageKits are the ways the invented waters are tested.
var coverageKits = map[string]map[water.Quantity]water.Method{
	"strips":         {water.Hardness: water.MethodStrip, water.Alkalinity: water.MethodStrip, water.PH: water.MethodStrip},
	"drops":          {water.Hardness: water.MethodDrop, water.Alkalinity: water.MethodDrop},
	"drops and cell": {water.Hardness: water.MethodDrop, water.Alkalinity: water.MethodDrop, water.Conductivity: water.MethodMeter, water.PH: water.MethodMeter},
	"laboratory":     {water.Calcium: water.MethodLaboratory, water.Alkalinity: water.MethodLaboratory, water.PH: water.MethodLaboratory, water.Chloride: water.MethodLaboratory, water.TDS: water.MethodMeter},
}

// Waters are invented, tested as a person would test them and inferred: the
// 10 to 90 % interval must hold the truth about eight times in ten.
func TestIntervalsCoverTheTruth(t *testing.T) {
	const each = 60
	asks := []string{"calcium", "alkalinity", "closed potential at 93 °C"}
	var held [3]atomic.Int64
	t.Run("kits", func(t *testing.T) {
		for name, kit := range coverageKits {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				r := rand.New(rand.NewPCG(1, uint64(len(name))))
				solver := equilibrium.NewSolver()
				values := []func(water.Analysis) float64{
					func(a water.Analysis) float64 { return a.CalciumMgPerKg },
					func(a water.Analysis) float64 { return a.AlkalinityMgPerKgCaCO3 },
					func(a water.Analysis) float64 { return closedAt93(t, solver, a) },
				}
				for i := range each {
					truth := inventedWater(r)
					var test water.Test
					for _, q := range water.Quantities() { // sorted, so that every run draws alike
						if m, ok := kit[q]; ok {
							test.Values = append(test.Values, measure(r, truth, q, m))
						}
					}
					set, err := FromTest(test, 100, watertest.Uniform(uint64(i)))
					if err != nil {
						t.Fatalf("%v: %+v", err, test)
					}
					for j, f := range values {
						v := f(truth)
						below := set.Share(func(a water.Analysis) bool { return f(a) < v })
						if below >= 0.1 && below <= 0.9 {
							held[j].Add(1)
						}
					}
				}
			})
		}
	})
	total := float64(each * len(coverageKits))
	for j, ask := range asks {
		share := float64(held[j].Load()) / total
		t.Logf("%s: %.3f of %g", ask, share, total)
		if share < 0.72 || share > 0.88 {
			t.Errorf("%s: the 10 to 90 %% interval held the truth in %.0f %% of %g waters, want 72 to 88", ask, 100*share, total)
		}
	}
}

// closedAt93 is the closed potential at 93 °C, mmol/kg.
func closedAt93(t testing.TB, s *equilibrium.Solver, a water.Analysis) float64 {
	t.Helper()
	cold, err := s.Speciate(a)
	if err != nil {
		t.Fatalf("%v: %+v", err, a)
	}
	p, err := s.ClosedPrecipitation(cold.Totals, 93, 0)
	if err != nil {
		t.Fatal(err)
	}
	return p.CalciteMmolPerKg
}
