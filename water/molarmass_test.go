package water

import (
	"math"
	"testing"
)

// The molar masses against sums of the standard atomic weights.
func TestMolarMasses(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"calcite", MolarMassCalcite, 100.086},
		{"anhydrite", MolarMassAnhydrite, 136.134},
		{"brucite", MolarMassBrucite, 58.319},
		{"sulfate", MolarMassSulfate, 96.056},
		{"nitrate", MolarMassNitrate, 62.004},
		{"silica", MolarMassSilica, 60.083},
	} {
		if math.Abs(c.got-c.want) > 1e-3 {
			t.Errorf("%s: %g g/mol, want %g", c.name, c.got, c.want)
		}
	}
}
