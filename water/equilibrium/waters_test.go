package equilibrium

import (
	"fmt"
	"testing"

	"limekeep/water/watertest"
)

// TestWaters holds the model to 36 waters at 7 temperatures computed with USGS
// PHREEQC 3.8.9 and its database phreeqc.dat.
func TestWaters(t *testing.T) {
	rows := watertest.Read(t, "waters.csv")
	if len(rows) != 252 {
		t.Fatalf("%d rows, want 252", len(rows))
	}
	s, worst := NewSolver(), watertest.Deviations{}
	for _, row := range rows {
		celsius := row.At(t, "temperature_c")
		where := fmt.Sprintf("%s at %g °C", row.Name, celsius)
		cold, err := s.Speciate(row.Analysis(t))
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		hot, err := s.Equilibrate(cold.Totals, celsius)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		worst.Check(t, where, "pH", hot.PH, row.At(t, "ph_at_t"), 0.005)
		strength := row.At(t, "ionic_strength_mol_kg")
		worst.Check(t, where, "relative ionic strength", hot.IonicStrength/strength, 1, 0.005)
		for m, column := range map[Mineral]string{
			Calcite: "si_calcite", Aragonite: "si_aragonite", Gypsum: "si_gypsum",
			Anhydrite: "si_anhydrite", AmorphousSilica: "si_sio2_amorphous",
		} {
			worst.Check(t, where, column, hot.SaturationIndex(m), row.At(t, column), 0.005)
		}
		closed, err := s.ClosedPrecipitation(cold.Totals, celsius, 0)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		worst.Check(t, where, "closed calcite, mmol/kg", closed.CalciteMmolPerKg, row.At(t, "closed_calcite_precipitated_mmol_kg"), 0.002)
		worst.Check(t, where, "closed final pH", closed.Solution.PH, row.At(t, "closed_final_ph"), 0.005)
		open, err := s.OpenPrecipitation(cold.Totals, celsius, -3.5, 0)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		worst.Check(t, where, "open calcite, mmol/kg", open.CalciteMmolPerKg, row.At(t, "open_pco2_3p5_calcite_precipitated_mmol_kg"), 0.005)
		worst.Check(t, where, "open final pH", open.Solution.PH, row.At(t, "open_final_ph"), 0.01)
	}
	t.Logf("largest deviations: %v", worst)
}
