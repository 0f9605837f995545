package inference

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// inferCases are tests of all sorts, from one vague value to a full report.
// The report is of reference water w001 with sodium and sulfate set to
// balance.
var inferCases = map[string][]water.Measured{
	"strips": {
		{Quantity: water.Hardness, Value: 250, Unit: water.PPM, Method: water.MethodStrip},
		{Quantity: water.Alkalinity, Value: 180, Unit: water.PPM, Method: water.MethodStrip},
	},
	"drops": {
		{Quantity: water.Hardness, Value: 15, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 11, Unit: water.GermanDegree, Method: water.MethodDrop},
	},
	"drops and cell": {
		{Quantity: water.Hardness, Value: 15, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 11, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Conductivity, Value: 600, Unit: water.MicrosiemensPerCm, Method: water.MethodMeter},
	},
	"conductivity alone":  {{Quantity: water.Conductivity, Value: 600, Unit: water.MicrosiemensPerCm, Method: water.MethodMeter}},
	"pH alone":            {{Quantity: water.PH, Value: 7.4, Unit: water.PHUnit, Method: water.MethodStrip}},
	"free chlorine alone": {{Quantity: water.FreeChlorine, Value: 0.3, Unit: water.MgPerL, Method: water.MethodDrop, DropSize: 0.1}},
	"reverse osmosis":     {{Quantity: water.Conductivity, Value: 12, Unit: water.MicrosiemensPerCm, Method: water.MethodMeter}},
	"behind a hydrogen cartridge": {
		{Quantity: water.Hardness, Value: 7, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 1, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.PH, Value: 5.4, Unit: water.PHUnit, Method: water.MethodMeter},
	},
	"nothing but zeros": {
		{Quantity: water.Hardness, Value: 0, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 0, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.TDS, Value: 0, Unit: water.PPM, Method: water.MethodMeter},
	},
	"softened": {
		{Quantity: water.Hardness, Value: 0, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 12, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.PH, Value: 7.4, Unit: water.PHUnit, Method: water.MethodStrip},
	},
	"laboratory": {
		{Quantity: water.Calcium, Value: 94.75, Unit: water.MgPerL, Method: water.MethodLaboratory},
		{Quantity: water.Magnesium, Value: 19.42, Unit: water.MgPerL, Method: water.MethodLaboratory},
		{Quantity: water.Alkalinity, Value: 197, Unit: water.MgPerLCaCO3, Method: water.MethodLaboratory},
		{Quantity: water.Sodium, Value: 12, Unit: water.MgPerL, Method: water.MethodLaboratory},
		{Quantity: water.Potassium, Value: 3.23, Unit: water.MgPerL, Method: water.MethodLaboratory},
		{Quantity: water.Chloride, Value: 41.6, Unit: water.MgPerL, Method: water.MethodLaboratory},
		{Quantity: water.Sulfate, Value: 75, Unit: water.MgPerL, Method: water.MethodLaboratory},
		{Quantity: water.Nitrate, Value: 6.6, Unit: water.MgPerL, Method: water.MethodLaboratory},
		{Quantity: water.Silica, Value: 13.3, Unit: water.MgPerL, Method: water.MethodLaboratory},
		{Quantity: water.PH, Value: 7.6, Unit: water.PHUnit, Method: water.MethodLaboratory},
		{Quantity: water.Conductivity, Value: 660, Unit: water.MicrosiemensPerCm, Method: water.MethodLaboratory},
	},
	"better than anyone can measure": {
		{Quantity: water.Hardness, Value: 250, Unit: water.PPM, Spread: 0.01},
		{Quantity: water.Calcium, Value: 70, Unit: water.MgPerL, Spread: 0.01},
		{Quantity: water.Alkalinity, Value: 180, Unit: water.PPM, Spread: 0.01},
		{Quantity: water.Sodium, Value: 20, Unit: water.MgPerL, Spread: 0.01},
		{Quantity: water.Chloride, Value: 20, Unit: water.MgPerL, Spread: 0.01},
		{Quantity: water.PH, Value: 7.43, Unit: water.PHUnit, Spread: 0.001},
		{Quantity: water.Conductivity, Value: 565, Unit: water.MicrosiemensPerCm, Spread: 0.01},
	},
}

func TestFromTest(t *testing.T) {
	solver := equilibrium.NewSolver()
	for name, values := range inferCases {
		t.Run(name, func(t *testing.T) {
			test := water.Test{Values: values, Celsius: 18}
			set, err := FromTest(test, 0, watertest.Uniform(1))
			if err != nil {
				t.Fatal(err)
			}
			checkSet(t, solver, set, 18)
			if got := set.EffectiveSize(); got < 100 {
				t.Errorf("effective size %.0f, want 100 or more of %d", got, SetSize)
			}
			again, err := FromTest(test, 0, watertest.Uniform(1))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(set, again); diff != "" {
				t.Error("the same uniforms gave another set:", diff)
			}
			// What was measured stays within five of its spreads.
			observations, err := test.Observations()
			if err != nil {
				t.Fatal(err)
			}
			for _, a := range set.Analyses {
				totals := a.Totals()
				for i := range observations {
					if l := observations[i].LogLikelihood(quantityOf(observations[i].Quantity, &totals, a.PH)); l < -12.5 {
						t.Fatalf("%s strays to log-likelihood %.1f: %+v", observations[i].Quantity, l, a)
					}
				}
			}
		})
	}
}

// checkSet asserts what holds for every set.
func checkSet(t testing.TB, solver *equilibrium.Solver, set Set, celsius float64) {
	t.Helper()
	var sum float64
	for i, a := range set.Analyses {
		sum += set.Weights[i]
		if err := a.Validate(); err != nil {
			t.Fatalf("%v: %+v", err, a)
		}
		totals := a.Totals()
		if off := totals.ChargeBalance(); math.Abs(off) > 1e-12 {
			t.Fatalf("charge off by %g eq/kg: %+v", off, a)
		}
		if _, err := solver.Speciate(a); err != nil {
			t.Fatalf("%v: %+v", err, a)
		}
		if a.MeasuredCelsius != celsius {
			t.Fatalf("pH holds at %g °C, want %g", a.MeasuredCelsius, celsius)
		}
	}
	if len(set.Analyses) == 0 || len(set.Analyses) != len(set.Weights) || math.Abs(sum-1) > 1e-9 {
		t.Fatalf("%d analyses, %d weights of sum %g", len(set.Analyses), len(set.Weights), sum)
	}
}

// Averaged over waters, a further measurement narrows what it bears on.
func TestSetNarrowsWithMeasurements(t *testing.T) {
	t.Parallel()
	calcium := func(a water.Analysis) float64 { return a.CalciumMgPerKg }
	width := func(s Set) float64 { return math.Log(s.Quantile(0.9, calcium) / s.Quantile(0.1, calcium)) }
	steps := []struct {
		quantity water.Quantity
		method   water.Method
	}{{water.Conductivity, water.MethodMeter}, {water.Hardness, water.MethodDrop}, {water.Magnesium, water.MethodLaboratory}}
	var mean [3]float64
	const waters = 8
	r := rand.New(rand.NewPCG(5, 6))
	for i := range waters {
		truth := inventedWater(r)
		var test water.Test
		for k, step := range steps {
			test.Values = append(test.Values, measure(r, truth, step.quantity, step.method))
			set, err := FromTest(test, 100, watertest.Uniform(uint64(i)))
			if err != nil {
				t.Fatalf("%v: %+v", err, test)
			}
			mean[k] += width(set) / waters
		}
	}
	for k := 1; k < len(mean); k++ {
		if mean[k] > 0.98*mean[k-1] {
			t.Errorf("with %s the 10 to 90 %% ratio of calcium is e^%.3f on average, without it e^%.3f", steps[k].quantity, mean[k], mean[k-1])
		}
	}
	if mean[2] > 0.6*mean[0] {
		t.Errorf("all three leave e^%.3f of the e^%.3f that conductivity alone does", mean[2], mean[0])
	}
}

func TestContradictions(t *testing.T) {
	drop := func(q water.Quantity, v float64) water.Measured {
		return water.Measured{Quantity: q, Value: v, Unit: water.GermanDegree, Method: water.MethodDrop}
	}
	conductivity := func(v float64) water.Measured {
		return water.Measured{Quantity: water.Conductivity, Value: v, Unit: water.MicrosiemensPerCm, Method: water.MethodMeter}
	}
	for _, c := range []struct {
		name     string
		values   []water.Measured
		suspects []water.Quantity // one of these must come first
	}{
		{"conductivity in the wrong unit", []water.Measured{drop(water.Hardness, 15), drop(water.Alkalinity, 11), conductivity(60)}, []water.Quantity{water.Conductivity}},
		{"calcium above hardness", []water.Measured{drop(water.Hardness, 5), {Quantity: water.Calcium, Value: 200, Unit: water.MgPerL, Method: water.MethodLaboratory}}, []water.Quantity{water.Hardness, water.Calcium}},
		{"one of three wrong", []water.Measured{drop(water.Hardness, 3), {Quantity: water.Calcium, Value: 80, Unit: water.MgPerL, Method: water.MethodLaboratory}, drop(water.Alkalinity, 11), conductivity(550)}, []water.Quantity{water.Hardness}},
		{"hydroxide without alkalinity", []water.Measured{{Quantity: water.PH, Value: 12, Unit: water.PHUnit, Method: water.MethodMeter}, drop(water.Alkalinity, 1)}, []water.Quantity{water.PH, water.Alkalinity}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := FromTest(water.Test{Values: c.values}, 0, watertest.Uniform(1))
			var wrong *ContradictionError
			if !errors.As(err, &wrong) {
				t.Fatalf("want a contradiction, got %v", err)
			}
			if len(wrong.Suspects) == 0 || !slices.Contains(c.suspects, wrong.Suspects[0].Quantity) {
				t.Fatalf("suspects %+v, want one of %v first", wrong.Suspects, c.suspects)
			}
			s := wrong.Suspects[0]
			if !(s.Low < s.High) || (s.Value >= s.Low && s.Value <= s.High) {
				t.Errorf("%s of %g lies within %g to %g, where the others put it", s.Quantity, s.Value, s.Low, s.High)
			}
			if len(wrong.Suspects)+len(wrong.Others) != len(c.values) || !strings.Contains(err.Error(), string(s.Quantity)) {
				t.Errorf("%d suspects and %d others of %d values: %v", len(wrong.Suspects), len(wrong.Others), len(c.values), err)
			}
		})
	}
}

// A value that merely fits badly is inferred from, not refused.
func TestBadFitIsNoContradiction(t *testing.T) {
	test := water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: 15, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 11, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Conductivity, Value: 400, Unit: water.MicrosiemensPerCm, Method: water.MethodMeter},
	}}
	if _, err := FromTest(test, 0, watertest.Uniform(1)); err != nil {
		t.Error(err)
	}
}

// Any valid test whatever is inferred from or contradicts itself.
func TestFromAnyTest(t *testing.T) {
	t.Parallel()
	solver := equilibrium.NewSolver()
	r := rand.New(rand.NewPCG(8, 9))
	inferred, contradictory := 0, 0
	for i := range 40 {
		var test water.Test
		for _, k := range r.Perm(len(water.Quantities()))[:1+r.IntN(3)] {
			q := water.Quantities()[k]
			low, high := q.Plausible()
			m := water.Measured{
				Quantity: q, Unit: q.Unit(),
				Value:  low + (high-low)*math.Pow(r.Float64(), 4),
				Method: []water.Method{water.MethodStrip, water.MethodDrop, water.MethodMeter, water.MethodLaboratory}[r.IntN(4)],
				Spread: []float64{0, 0, 0, 1e-9, 1}[r.IntN(5)],
			}
			if m.Validate() == nil {
				test.Values = append(test.Values, m)
			}
		}
		if len(test.Values) == 0 {
			continue
		}
		set, err := FromTest(test, 25, watertest.Uniform(uint64(i)))
		var wrong *ContradictionError
		switch {
		case errors.As(err, &wrong):
			contradictory++
		case err != nil:
			t.Fatalf("neither invalid nor a contradiction: %v", err)
		default:
			inferred++
			checkSet(t, solver, set, water.MainsCelsius)
		}
	}
	if inferred < 15 || contradictory < 2 {
		t.Errorf("%d inferred, %d contradictory: not much of a test", inferred, contradictory)
	}
}

func FuzzInfer(f *testing.F) {
	f.Add("hardness", 15.0, "dH", "drop", 0.0, "conductivity", 600.0, "µS/cm", "meter", 0.0, 10.0, uint64(1))
	f.Add("ph", 12.0, "pH", "meter", 0.0, "alkalinity", 0.0, "mg/L CaCO3", "strip", 0.0, 0.0, uint64(2))
	f.Add("tds", 15000.0, "ppm", "meter", 1e-300, "calcium", 1e-300, "mg/L", "laboratory", 800.0, 60.0, uint64(3))
	f.Add("silica", 300.0, "mg/L", "strip", 0.0, "nitrate", math.NaN(), "mg/L N", "", math.Inf(1), math.NaN(), uint64(4))
	solver := equilibrium.NewSolver()
	f.Fuzz(func(t *testing.T, q1 string, v1 float64, u1, m1 string, s1 float64, q2 string, v2 float64, u2, m2 string, s2, celsius float64, seed uint64) {
		test := water.Test{Celsius: celsius, Values: []water.Measured{
			{Quantity: water.Quantity(q1), Value: v1, Unit: water.Unit(u1), Method: water.Method(m1), Spread: s1},
			{Quantity: water.Quantity(q2), Value: v2, Unit: water.Unit(u2), Method: water.Method(m2), Spread: s2},
		}}
		u := watertest.Uniform(seed)
		if seed%7 == 0 { // a caller whose uniforms are stuck
			u = func(int, int) float64 { return float64(seed%3) - 1 }
		}
		set, err := FromTest(test, 20, u)
		if err != nil {
			return
		}
		checkSet(t, solver, set, test.PHCelsius())
		Judge(test, set)
	})
}

func BenchmarkInfer(b *testing.B) {
	for _, name := range []string{"drops", "drops and cell", "laboratory", "reverse osmosis"} {
		b.Run(name, func(b *testing.B) {
			test := water.Test{Values: inferCases[name]}
			for b.Loop() {
				if _, err := FromTest(test, 0, watertest.Uniform(1)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
