package water

import (
	"fmt"
	"testing"
)

// TestConcentrated holds evaporation to the 36 waters boiled down 1 to 40 fold
// with USGS PHREEQC 3.8.9 and its database phreeqc.dat.
func TestConcentrated(t *testing.T) {
	rows := readReference(t, "concentrated.csv")
	if len(rows) != 432 {
		t.Fatalf("%d rows, want 432", len(rows))
	}
	s, worst := NewSolver(), deviations{}
	for _, row := range rows {
		celsius, factor := row.at(t, "temperature_c"), row.at(t, "concentration_factor")
		where := fmt.Sprintf("%s at %g °C, %g fold", row.name, celsius, factor)
		cold, err := s.Speciate(row.analysis(t))
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		left, err := s.Evaporate(cold.Totals, celsius, factor, -3.5, 0, false)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		worst.check(t, where, "pH", left.Solution.PH, row.at(t, "boiler_ph"), 0.02)
		worst.check(t, where, "relative ionic strength", left.Solution.IonicStrength/row.at(t, "boiler_ionic_strength_mol_kg"), 1, 0.01)
		worst.check(t, where, "calcite, mmol/kg fed", left.CalciteMmolPerKg, row.at(t, "boiler_calcite_mmol_per_kg_feed"), 0.01)
		worst.check(t, where, "anhydrite, mmol/kg fed", left.AnhydriteMmolPerKg, row.at(t, "boiler_anhydrite_mmol_per_kg_feed"), 0.01)
	}
	t.Logf("largest deviations: %v", worst)
}
