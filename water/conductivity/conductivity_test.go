package conductivity

import (
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/watertest"
)

// Molar conductivities of solutions at 25 °C, S·cm²/mol of equivalents, from
// the CRC Handbook of Chemistry and Physics, Equivalent conductivity of
// electrolytes in aqueous solution (from memory); potassium chloride agrees
// with the calibration standards 146.9 and 1,413 µS/cm.
func TestConductivityOfSingleSalts(t *testing.T) {
	const n3, n2 = 0.001, 0.01 // equivalents per kilogram
	salts := []struct {
		name     string
		per      func(eq float64) water.Totals
		at3, at2 float64
		within   float64
	}{
		{"KCl", func(eq float64) water.Totals { return water.Totals{Potassium: eq, Chloride: eq} }, 146.88, 141.20, 0.01},
		{"NaCl", func(eq float64) water.Totals { return water.Totals{Sodium: eq, Chloride: eq} }, 123.68, 118.45, 0.01},
		{"CaCl2", func(eq float64) water.Totals { return water.Totals{Calcium: eq / 2, Chloride: eq} }, 130.30, 120.30, 0.02},
		{"MgCl2", func(eq float64) water.Totals { return water.Totals{Magnesium: eq / 2, Chloride: eq} }, 124.05, 114.49, 0.02},
		{"Na2SO4", func(eq float64) water.Totals { return water.Totals{Sodium: eq, Sulfate: eq / 2} }, 124.09, 112.38, 0.02},
		// Association constants fitted to conductivities are about twice those
		// fitted to solubilities, hence the wider margin.
		{"CaSO4", func(eq float64) water.Totals { return water.Totals{Calcium: eq / 2, Sulfate: eq / 2} }, 115.20, 0, 0.08},
		{"KHCO3", func(eq float64) water.Totals { return water.Totals{Potassium: eq, Alkalinity: eq} }, 115.28, 110.03, 0.02},
	}
	for _, s := range salts {
		for _, c := range []struct{ eq, want float64 }{{n3, s.at3}, {n2, s.at2}} {
			if c.want == 0 {
				continue
			}
			totals := s.per(c.eq)
			got := TotalsAt25(&totals, 8.2) / 1000 / c.eq
			if math.Abs(got/c.want-1) > s.within {
				t.Errorf("%s at %g eq/kg: %.2f S·cm²/mol, handbook %.2f", s.name, c.eq, got, c.want)
			}
		}
	}
}

// The dry residue of water w001 of the reference tables by hand: its ions in
// mg/kg with half of 240.2 mg/kg of hydrogencarbonate, as carbonate 118.1.
func TestDissolvedSolids(t *testing.T) {
	a := water.Analysis{
		MeasuredCelsius: 15, PH: 7.99, CalciumMgPerKg: 94.75, MagnesiumMgPerKg: 19.42, SodiumMgPerKg: 3, PotassiumMgPerKg: 3.23,
		AlkalinityMgPerKgCaCO3: 197, ChlorideMgPerKg: 41.6, SulfateMgPerKg: 63.5, NitrateMgPerKg: 6.6, SilicaMgPerKg: 13.3,
	}
	want := 94.75 + 19.42 + 3 + 3.23 + 118.1 + 41.6 + 63.5 + 6.6 + 13.3
	if got := DissolvedSolids(a); math.Abs(got-want) > 0.1 {
		t.Errorf("dry residue %.2f mg/kg, want %.2f", got, want)
	}
}

// Pure water conducts 0.055 µS/cm at 25 °C (CRC Handbook of Chemistry and
// Physics, from memory).
func TestConductivityOfPureWater(t *testing.T) {
	if got := TotalsAt25(&water.Totals{}, 7); math.Abs(got-0.055) > 0.0015 {
		t.Errorf("pure water: %.4f µS/cm, want 0.055", got)
	}
}

// Conductivity grows with the amount of salts, slower than they do.
func TestConductivityOfConcentratedWater(t *testing.T) {
	a := watertest.Balanced(200, 150, 7.5)
	totals := a.Totals()
	once := TotalsAt25(&totals, 7.5)
	double := totals.Times(2)
	twice := TotalsAt25(&double, 7.5)
	if twice <= 1.8*once || twice >= 2*once {
		t.Errorf("twice the salts conduct %.0f µS/cm, once %.0f", twice, once)
	}
}
