package equilibrium

import (
	"errors"
	"math"
	"strings"
	"testing"

	"limekeep/water"
	"limekeep/water/watertest"
)

func TestAnalysisValidate(t *testing.T) {
	if err := watertest.Plain.Validate(); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		spoil func(*water.Analysis)
		names string // what the message must name
	}{
		"too hot":            {func(a *water.Analysis) { a.MeasuredCelsius = 141 }, "temperature of measurement"},
		"temperature is NaN": {func(a *water.Analysis) { a.MeasuredCelsius = math.NaN() }, "temperature of measurement"},
		"pH of acid":         {func(a *water.Analysis) { a.PH = 1.9 }, "pH"},
		"negative calcium":   {func(a *water.Analysis) { a.CalciumMgPerKg = -1 }, "calcium"},
		"infinite chloride":  {func(a *water.Analysis) { a.ChlorideMgPerKg = math.Inf(1) }, "chloride"},
		"NaN silica":         {func(a *water.Analysis) { a.SilicaMgPerKg = math.NaN() }, "silica"},
		"far acid":           {func(a *water.Analysis) { a.AlkalinityMgPerKgCaCO3 = -6000 }, "alkalinity"},
		"brine": {func(a *water.Analysis) {
			a.SodiumMgPerKg, a.ChlorideMgPerKg, a.SulfateMgPerKg = 20000, 30000, 20000
		}, "ionic strength"},
	} {
		t.Run(name, func(t *testing.T) {
			a := watertest.Plain
			c.spoil(&a)
			var v *water.ValueError
			if err := a.Validate(); !errors.As(err, &v) || !strings.Contains(v.Quantity, c.names) {
				t.Fatalf("got %v, want a ValueError on %s", err, c.names)
			}
			if _, err := NewSolver().Speciate(a); !errors.As(err, &v) {
				t.Fatalf("Speciate: got %v, want a ValueError", err)
			}
		})
	}
}

func TestAnalysisRoundTrip(t *testing.T) {
	s := NewSolver()
	sol, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	again, err := s.Speciate(sol.Analysis())
	if err != nil {
		t.Fatal(err)
	}
	if diff := math.Abs(again.Totals.Carbon/sol.Totals.Carbon - 1); diff > 1e-9 {
		t.Errorf("carbon differs by %g after a round trip", diff)
	}
}
