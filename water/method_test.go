package water

import (
	"errors"
	"math"
	"testing"
)

func TestParseMethod(t *testing.T) {
	for s, want := range map[string]Method{
		"strip": MethodStrip, "Drop": MethodDrop, "drop test": MethodDrop, "METER": MethodMeter, "lab": MethodLaboratory, "laboratory": MethodLaboratory,
	} {
		if got, err := ParseMethod(s); err != nil || got != want {
			t.Errorf("ParseMethod(%q) = %q, %v; want %q", s, got, err, want)
		}
	}
	var method *MethodError
	if _, err := ParseMethod("guess"); !errors.As(err, &method) || method.Written != "guess" {
		t.Errorf("unknown method: %v", err)
	}
}

func TestMethodsFromVagueToSharp(t *testing.T) {
	for _, q := range []Quantity{Hardness, Alkalinity} {
		last := math.Inf(1)
		for _, m := range []Method{MethodStrip, MethodDrop, MethodMeter, MethodLaboratory} {
			sd, err := m.Spread(q, 150)
			if err != nil {
				t.Fatal(err)
			}
			if !(sd > 0 && sd < last) {
				t.Errorf("%s by %s: spread %.3g mg/L, want less than %.3g", q, m, sd, last)
			}
			last = sd
		}
	}
	var method *MethodError
	if _, err := MethodStrip.Spread(Conductivity, 500); !errors.As(err, &method) || method.For != Conductivity {
		t.Errorf("conductivity by strip: %v", err)
	}
}

// The likelihood of an observation must be what a simulated measurement does: the
// share of repeats that give that value.
func TestStripReading(t *testing.T) {
	r := mustReading(t, Measured{Quantity: Hardness, Value: 120, Unit: MgPerLCaCO3, Method: MethodStrip})
	for _, c := range []struct {
		truth, want, within float64
	}{
		{120, 1, 0.001},
		{(120+20)*math.Exp(0.30) - 20, 0.5, 0.001}, // the edge of the bucket
		{(120+20)*math.Exp(-0.30) - 20, 0.5, 0.001},
		{(120+20)*math.Exp(0.30+0.075) - 20, 0.158655, 0.001}, // one blur outside: the normal's tail
		{0, 0, 1e-6},
		{1500, 0, 1e-6},
	} {
		if got := math.Exp(r.LogLikelihood(c.truth)); math.Abs(got-c.want) > c.within {
			t.Errorf("likelihood of %g when the strip shows 120: %.4f, want %.4f", c.truth, got, c.want)
		}
	}
	if far := r.LogLikelihood(1e6); math.IsInf(far, 0) || math.IsNaN(far) || far > -100 {
		t.Errorf("far outside the bucket the log-likelihood is %g", far)
	}
}

func TestDropReading(t *testing.T) {
	german := mustReading(t, Measured{Quantity: Hardness, Value: 10, Unit: GermanDegree, Method: MethodDrop})
	french := mustReading(t, Measured{Quantity: Hardness, Value: 17.848, Unit: FrenchDegree, Method: MethodDrop})
	half := mustReading(t, Measured{Quantity: Hardness, Value: 10, Unit: GermanDegree, Method: MethodDrop, DropSize: 0.5})
	ppm := mustReading(t, Measured{Quantity: Hardness, Value: 178.48, Unit: PPM, Method: MethodDrop})
	if math.Abs(german.HalfWidth-17.848) > 0.001 || math.Abs(french.HalfWidth-10) > 1e-9 || math.Abs(half.HalfWidth-8.924) > 0.001 || math.Abs(ppm.HalfWidth-17.848) > 0.001 {
		t.Errorf("one drop: %g, %g, %g and %g mg/L, want 17.848, 10, 8.924 and 17.848", german.HalfWidth, french.HalfWidth, half.HalfWidth, ppm.HalfWidth)
	}
	if l := math.Exp(german.LogLikelihood(178.48 + 17.848)); math.Abs(l-0.5) > 0.01 {
		t.Errorf("likelihood one drop off: %.3f, want 0.5", l)
	}
	if _, err := NewObservation(Measured{Quantity: Nitrate, Value: 10, Unit: MgPerL, Method: MethodDrop}); err == nil {
		t.Error("nitrate by drops of unknown size must be refused")
	}
}

func TestSpreadOfOnesOwn(t *testing.T) {
	r := mustReading(t, Measured{Quantity: Hardness, Value: 10, Unit: GermanDegree, Method: MethodStrip, Spread: 2})
	if got := r.SD(); math.Abs(got-2*17.848) > 0.001 || r.HalfWidth != 0 {
		t.Errorf("spread %g mg/L, want that given: %g", got, 2*17.848)
	}
	if got := r.LogLikelihood(10*17.848 + 2*17.848); math.Abs(got+0.5) > 1e-4 {
		t.Errorf("log-likelihood one standard deviation off: %g, want -0.5", got)
	}
	// A spread of next to nothing is widened, not believed.
	r = mustReading(t, Measured{Quantity: Hardness, Value: 200, Unit: PPM, Spread: 1e-12})
	if got := r.SD(); got < 0.1 {
		t.Errorf("spread %g mg/L is better than anyone can measure", got)
	}
}

func mustReading(t *testing.T, m Measured) Observation {
	t.Helper()
	r, err := NewObservation(m)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
