package boiler

import (
	"fmt"
	"math"
	"testing"

	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// TestSteamBoiler holds the steady state of a steam boiler to the 36 waters
// worked out with USGS PHREEQC 3.8.9, phreeqc.dat and brucite of wateq4f.dat.
func TestSteamBoiler(t *testing.T) {
	rows := watertest.Read(t, "steam_boiler.csv")
	if len(rows) != 432 {
		t.Fatalf("%d rows, want 432", len(rows))
	}
	s, worst := equilibrium.NewSolver(), watertest.Deviations{}
	for _, row := range rows {
		celsius, factor := row.At(t, "temperature_c"), row.At(t, "steady_concentration_factor")
		brucite := row.At(t, "brucite_forms") == 1
		where := fmt.Sprintf("%s at %g °C, %g fold, brucite %v", row.Name, celsius, factor, brucite)
		cold, err := s.Speciate(row.Analysis(t))
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		left, err := Steady(s, cold.Totals, celsius, factor, 0, brucite)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		worst.Check(t, where, "log10 pCO2", left.Solution.Log10PCO2, row.At(t, "steady_log10_pco2_atm"), 0.03)
		worst.Check(t, where, "pH", left.Solution.PH, row.At(t, "steady_ph"), 0.03)
		worst.Check(t, where, "relative ionic strength", left.Solution.IonicStrength/row.At(t, "steady_ionic_strength_mol_kg"), 1, 0.02)
		for _, solid := range []struct {
			name, column string
			got          float64
		}{
			{"calcite, mmol/kg fed", "steady_calcite_mmol_per_kg_feed", left.CalciteMmolPerKg},
			{"anhydrite, mmol/kg fed", "steady_anhydrite_mmol_per_kg_feed", left.AnhydriteMmolPerKg},
			{"brucite, mmol/kg fed", "steady_brucite_mmol_per_kg_feed", left.BruciteMmolPerKg},
		} {
			want := row.At(t, solid.column)
			worst.Check(t, where, solid.name, solid.got, want, math.Max(0.01, 0.02*want))
		}
	}
	t.Logf("largest deviations: %v", worst)
}

// BenchmarkSteadyBoiler measures the steady state of a steam boiler, brucite
// allowed.
func BenchmarkSteadyBoiler(b *testing.B) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Read(b, "waters.csv")[0].Analysis(b))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Steady(s, cold.Totals, 120, 5, 0, true); err != nil {
			b.Fatal(err)
		}
	}
}
