package equilibrium

import (
	"math"
	"testing"

	"limekeep/water"
)

// Amounts too small to matter must not upset the solution: pure water with a
// trace of alkalinity, down to the smallest number there is.
func TestTracesConverge(t *testing.T) {
	s := NewSolver()
	for _, alkalinity := range []float64{0, 5e-324, 1e-300, 1e-100, 1e-30, 1e-15, 1e-9, 1e-3} {
		for _, calcium := range []float64{0, 1e-300, 1e-12, 40} {
			sol, err := s.Speciate(water.Analysis{MeasuredCelsius: 20, PH: 7, CalciumMgPerKg: calcium, AlkalinityMgPerKgCaCO3: alkalinity})
			if err != nil {
				t.Errorf("alkalinity %g, calcium %g: %v", alkalinity, calcium, err)
				continue
			}
			for _, celsius := range []float64{0, 93, 140} {
				hot, err := s.Equilibrate(sol.Totals, celsius)
				if err != nil || math.IsNaN(hot.PH) {
					t.Errorf("alkalinity %g, calcium %g at %g °C: pH %v, %v", alkalinity, calcium, celsius, hot.PH, err)
				}
				if p, err := s.ClosedPrecipitation(sol.Totals, celsius, 0); err != nil || math.IsNaN(p.CalciteMmolPerKg) {
					t.Errorf("alkalinity %g, calcium %g at %g °C: %v mmol/kg, %v", alkalinity, calcium, celsius, p.CalciteMmolPerKg, err)
				}
			}
		}
	}
}
