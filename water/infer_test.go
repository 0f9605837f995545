package water

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// inferCases are tests of all sorts, from one vague value to a full report.
// The report is of reference water w001 with sodium and sulfate set to
// balance.
var inferCases = map[string][]Measured{
	"strips": {
		{Quantity: Hardness, Value: 250, Unit: PPM, Method: MethodStrip},
		{Quantity: Alkalinity, Value: 180, Unit: PPM, Method: MethodStrip},
	},
	"drops": {
		{Quantity: Hardness, Value: 15, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: Alkalinity, Value: 11, Unit: GermanDegree, Method: MethodDrop},
	},
	"drops and cell": {
		{Quantity: Hardness, Value: 15, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: Alkalinity, Value: 11, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: Conductivity, Value: 600, Unit: MicrosiemensPerCm, Method: MethodMeter},
	},
	"conductivity alone":  {{Quantity: Conductivity, Value: 600, Unit: MicrosiemensPerCm, Method: MethodMeter}},
	"pH alone":            {{Quantity: PH, Value: 7.4, Unit: PHUnit, Method: MethodStrip}},
	"free chlorine alone": {{Quantity: FreeChlorine, Value: 0.3, Unit: MgPerL, Method: MethodDrop, DropSize: 0.1}},
	"reverse osmosis":     {{Quantity: Conductivity, Value: 12, Unit: MicrosiemensPerCm, Method: MethodMeter}},
	"behind a hydrogen cartridge": {
		{Quantity: Hardness, Value: 7, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: Alkalinity, Value: 1, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: PH, Value: 5.4, Unit: PHUnit, Method: MethodMeter},
	},
	"nothing but zeros": {
		{Quantity: Hardness, Value: 0, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: Alkalinity, Value: 0, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: TDS, Value: 0, Unit: PPM, Method: MethodMeter},
	},
	"softened": {
		{Quantity: Hardness, Value: 0, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: Alkalinity, Value: 12, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: PH, Value: 7.4, Unit: PHUnit, Method: MethodStrip},
	},
	"laboratory": {
		{Quantity: Calcium, Value: 94.75, Unit: MgPerL, Method: MethodLaboratory},
		{Quantity: Magnesium, Value: 19.42, Unit: MgPerL, Method: MethodLaboratory},
		{Quantity: Alkalinity, Value: 197, Unit: MgPerLCaCO3, Method: MethodLaboratory},
		{Quantity: Sodium, Value: 12, Unit: MgPerL, Method: MethodLaboratory},
		{Quantity: Potassium, Value: 3.23, Unit: MgPerL, Method: MethodLaboratory},
		{Quantity: Chloride, Value: 41.6, Unit: MgPerL, Method: MethodLaboratory},
		{Quantity: Sulfate, Value: 75, Unit: MgPerL, Method: MethodLaboratory},
		{Quantity: Nitrate, Value: 6.6, Unit: MgPerL, Method: MethodLaboratory},
		{Quantity: Silica, Value: 13.3, Unit: MgPerL, Method: MethodLaboratory},
		{Quantity: PH, Value: 7.6, Unit: PHUnit, Method: MethodLaboratory},
		{Quantity: Conductivity, Value: 660, Unit: MicrosiemensPerCm, Method: MethodLaboratory},
	},
	"better than anyone can measure": {
		{Quantity: Hardness, Value: 250, Unit: PPM, Spread: 0.01},
		{Quantity: Calcium, Value: 70, Unit: MgPerL, Spread: 0.01},
		{Quantity: Alkalinity, Value: 180, Unit: PPM, Spread: 0.01},
		{Quantity: Sodium, Value: 20, Unit: MgPerL, Spread: 0.01},
		{Quantity: Chloride, Value: 20, Unit: MgPerL, Spread: 0.01},
		{Quantity: PH, Value: 7.43, Unit: PHUnit, Spread: 0.001},
		{Quantity: Conductivity, Value: 565, Unit: MicrosiemensPerCm, Spread: 0.01},
	},
}

func TestInfer(t *testing.T) {
	solver := NewSolver()
	for name, values := range inferCases {
		t.Run(name, func(t *testing.T) {
			test := Test{Values: values, Celsius: 18}
			set, err := Infer(test, 0, keyedUniform(1))
			if err != nil {
				t.Fatal(err)
			}
			checkSet(t, solver, set, 18)
			if got := set.EffectiveSize(); got < 100 {
				t.Errorf("effective size %.0f, want 100 or more of %d", got, SetSize)
			}
			again, err := Infer(test, 0, keyedUniform(1))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(set, again); diff != "" {
				t.Error("the same uniforms gave another set:", diff)
			}
			// What was measured stays within five of its spreads.
			readings, err := test.readings()
			if err != nil {
				t.Fatal(err)
			}
			for _, a := range set.Analyses {
				totals := a.totals()
				for i := range readings {
					if l := readings[i].logLikelihood(quantityOf(readings[i].quantity, &totals, a.PH)); l < -12.5 {
						t.Fatalf("%s strays to log-likelihood %.1f: %+v", readings[i].quantity, l, a)
					}
				}
			}
		})
	}
}

// checkSet asserts what holds for every set.
func checkSet(t testing.TB, solver *Solver, set Set, celsius float64) {
	t.Helper()
	var sum float64
	for i, a := range set.Analyses {
		sum += set.Weights[i]
		if err := a.Validate(); err != nil {
			t.Fatalf("%v: %+v", err, a)
		}
		totals := a.totals()
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
	calcium := func(a Analysis) float64 { return a.CalciumMgPerKg }
	width := func(s Set) float64 { return math.Log(s.Quantile(0.9, calcium) / s.Quantile(0.1, calcium)) }
	steps := []struct {
		quantity Quantity
		method   Method
	}{{Conductivity, MethodMeter}, {Hardness, MethodDrop}, {Magnesium, MethodLaboratory}}
	var mean [3]float64
	const waters = 8
	r := rand.New(rand.NewPCG(5, 6))
	for i := range waters {
		truth := inventedWater(r)
		var test Test
		for k, step := range steps {
			test.Values = append(test.Values, measure(r, truth, step.quantity, step.method))
			set, err := Infer(test, 100, keyedUniform(uint64(i)))
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
	drop := func(q Quantity, v float64) Measured {
		return Measured{Quantity: q, Value: v, Unit: GermanDegree, Method: MethodDrop}
	}
	conductivity := func(v float64) Measured {
		return Measured{Quantity: Conductivity, Value: v, Unit: MicrosiemensPerCm, Method: MethodMeter}
	}
	for _, c := range []struct {
		name     string
		values   []Measured
		suspects []Quantity // one of these must come first
	}{
		{"conductivity in the wrong unit", []Measured{drop(Hardness, 15), drop(Alkalinity, 11), conductivity(60)}, []Quantity{Conductivity}},
		{"calcium above hardness", []Measured{drop(Hardness, 5), {Quantity: Calcium, Value: 200, Unit: MgPerL, Method: MethodLaboratory}}, []Quantity{Hardness, Calcium}},
		{"one of three wrong", []Measured{drop(Hardness, 3), {Quantity: Calcium, Value: 80, Unit: MgPerL, Method: MethodLaboratory}, drop(Alkalinity, 11), conductivity(550)}, []Quantity{Hardness}},
		{"hydroxide without alkalinity", []Measured{{Quantity: PH, Value: 12, Unit: PHUnit, Method: MethodMeter}, drop(Alkalinity, 1)}, []Quantity{PH, Alkalinity}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Infer(Test{Values: c.values}, 0, keyedUniform(1))
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
	test := Test{Values: []Measured{
		{Quantity: Hardness, Value: 15, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: Alkalinity, Value: 11, Unit: GermanDegree, Method: MethodDrop},
		{Quantity: Conductivity, Value: 400, Unit: MicrosiemensPerCm, Method: MethodMeter},
	}}
	if _, err := Infer(test, 0, keyedUniform(1)); err != nil {
		t.Error(err)
	}
}

// Any valid test whatever is inferred from or contradicts itself.
func TestInferAnything(t *testing.T) {
	t.Parallel()
	solver := NewSolver()
	r := rand.New(rand.NewPCG(8, 9))
	inferred, contradictory := 0, 0
	for i := range 40 {
		var test Test
		for _, k := range r.Perm(len(Quantities()))[:1+r.IntN(3)] {
			q := Quantities()[k]
			low, high := q.Plausible()
			m := Measured{
				Quantity: q, Unit: q.Unit(),
				Value:  low + (high-low)*math.Pow(r.Float64(), 4),
				Method: []Method{MethodStrip, MethodDrop, MethodMeter, MethodLaboratory}[r.IntN(4)],
				Spread: []float64{0, 0, 0, 1e-9, 1}[r.IntN(5)],
			}
			if m.Validate() == nil {
				test.Values = append(test.Values, m)
			}
		}
		if len(test.Values) == 0 {
			continue
		}
		set, err := Infer(test, 25, keyedUniform(uint64(i)))
		var wrong *ContradictionError
		switch {
		case errors.As(err, &wrong):
			contradictory++
		case err != nil:
			t.Fatalf("neither invalid nor a contradiction: %v", err)
		default:
			inferred++
			checkSet(t, solver, set, testDefaultCelsius)
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
	solver := NewSolver()
	f.Fuzz(func(t *testing.T, q1 string, v1 float64, u1, m1 string, s1 float64, q2 string, v2 float64, u2, m2 string, s2, celsius float64, seed uint64) {
		test := Test{Celsius: celsius, Values: []Measured{
			{Quantity: Quantity(q1), Value: v1, Unit: Unit(u1), Method: Method(m1), Spread: s1},
			{Quantity: Quantity(q2), Value: v2, Unit: Unit(u2), Method: Method(m2), Spread: s2},
		}}
		u := keyedUniform(seed)
		if seed%7 == 0 { // a caller whose uniforms are stuck
			u = func(int, int) float64 { return float64(seed%3) - 1 }
		}
		set, err := Infer(test, 20, u)
		if err != nil {
			return
		}
		checkSet(t, solver, set, test.celsius())
		Judge(test, set)
	})
}

func BenchmarkInfer(b *testing.B) {
	for _, name := range []string{"drops", "drops and cell", "laboratory", "reverse osmosis"} {
		b.Run(name, func(b *testing.B) {
			test := Test{Values: inferCases[name]}
			for b.Loop() {
				if _, err := Infer(test, 0, keyedUniform(1)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
