package equilibrium

import (
	"fmt"
	"testing"

	"limekeep/water/watertest"
)

// TestConcentrated holds evaporation to the 36 waters boiled down 1 to 40 fold
// with USGS PHREEQC 3.8.9 and its database phreeqc.dat.
func TestConcentrated(t *testing.T) {
	rows := watertest.Read(t, "concentrated.csv")
	if len(rows) != 432 {
		t.Fatalf("%d rows, want 432", len(rows))
	}
	s, worst := NewSolver(), watertest.Deviations{}
	for _, row := range rows {
		celsius, factor := row.At(t, "temperature_c"), row.At(t, "concentration_factor")
		where := fmt.Sprintf("%s at %g °C, %g fold", row.Name, celsius, factor)
		cold, err := s.Speciate(row.Analysis(t))
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		left, err := s.Evaporate(cold.Totals, celsius, factor, -3.5, 0, false)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		worst.Check(t, where, "pH", left.Solution.PH, row.At(t, "boiler_ph"), 0.02)
		worst.Check(t, where, "relative ionic strength", left.Solution.IonicStrength/row.At(t, "boiler_ionic_strength_mol_kg"), 1, 0.01)
		worst.Check(t, where, "calcite, mmol/kg fed", left.CalciteMmolPerKg, row.At(t, "boiler_calcite_mmol_per_kg_feed"), 0.01)
		worst.Check(t, where, "anhydrite, mmol/kg fed", left.AnhydriteMmolPerKg, row.At(t, "boiler_anhydrite_mmol_per_kg_feed"), 0.01)
	}
	t.Logf("largest deviations: %v", worst)
}
