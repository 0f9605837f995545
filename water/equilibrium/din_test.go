package equilibrium

import (
	"fmt"
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/watertest"
)

// mmol writes an analysis from mmol/kg, as the standards state it.
func mmol(celsius, ph, ca, mg, na, k, alkalinity, cl, no3, so4 float64) water.Analysis {
	return water.Analysis{
		MeasuredCelsius: celsius, PH: ph,
		CalciumMgPerKg: ca * water.MolarMassCalcium, MagnesiumMgPerKg: mg * water.MolarMassMagnesium,
		SodiumMgPerKg: na * water.MolarMassSodium, PotassiumMgPerKg: k * water.MolarMassPotassium,
		AlkalinityMgPerKgCaCO3: alkalinity * water.EquivalentMassCaCO3,
		ChlorideMgPerKg:        cl * water.MolarMassChlorine, NitrateMgPerKg: no3 * water.MolarMassNitrate,
		SulfateMgPerKg: so4 * water.MolarMassSulfate,
	}
}

// Example waters of DIN 38404-10:2012-12, table 4 (mmol/L, taken as mmol/kg).
// The acid capacity to pH 4.3 less 0.05 is the alkalinity.
var din2012 = []struct {
	ph, celsius, ks43, ca, mg, na, k, cl, no3, so4 float64
	strengthMmol, saturationPH, carbonMmol         float64
}{
	{7.34, 10, 2.50, 1.40, 0.23, 0.30, 0.05, 0.25, 0.15, 0.38, 5.36, 7.66, 2.74},
	{7.80, 15, 1.63, 0.75, 0.10, 0.40, 0.10, 0.30, 0.03, 0.15, 3.12, 8.05, 1.63},
	{7.00, 10, 5.45, 3.50, 0.70, 2.30, 0.30, 2.70, 0.50, 1.20, 15.17, 7.08, 6.72},
	{5.60, 10, 0.22, 0.15, 0.05, 0.30, 0.10, 0.34, 0.18, 0.05, 1.04, 7.77, 1.38},
}

func TestDIN2012(t *testing.T) {
	s, worst := NewSolver(), watertest.Deviations{}
	for i, w := range din2012 {
		where := fmt.Sprintf("water %d", i+1)
		sol, err := s.Speciate(mmol(w.celsius, w.ph, w.ca, w.mg, w.na, w.k, w.ks43-0.05, w.cl, w.no3, w.so4))
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		worst.Check(t, where, "relative ionic strength", sol.IonicStrength*1000/w.strengthMmol, 1, 0.04)
		worst.Check(t, where, "relative carbon", sol.Totals.Carbon*1000/w.carbonMmol, 1, 0.04)
		p, err := s.ClosedPrecipitation(sol.Totals, w.celsius, 0)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		worst.Check(t, where, "pH at saturation", p.Solution.PH, w.saturationPH, 0.05)
	}
	t.Logf("largest deviations: %v", worst)
}

// Example waters of DIN 38404-10:1995, table 6 (mmol/L): pH measured at one
// temperature, total inorganic carbon known, values stated at another.
func TestDIN1995(t *testing.T) {
	s, worst := NewSolver(), watertest.Deviations{}
	for i, w := range []struct {
		ph, celsius, at, carbon, ca, mg, na, k, cl, no3, so4 float64
		phAt, saturationPH, si, dissolve                     float64
	}{
		{6.90, 20, 10, 6.680, 3.50, 0.75, 2.05, 0.15, 2.50, 0.50, 1.20, 6.98, 7.07, -0.15, 0.20},
		{8.20, 15, 11, 1.661, 1.24, 0.41, 0.90, 0.07, 0.90, 0.55, 0.58, 8.25, 8.00, 0.27, -0.03},
		{7.90, 20, 5.5, 2.456, 1.22, 0.35, 0.15, 0.05, 0.16, 0.07, 0.35, 8.05, 7.90, 0.17, -0.03},
		{8.40, 17, 12, 0.941, 0.57, 0.10, 0.21, 0.02, 0.34, 0.08, 0.10, 8.47, 8.46, 0.01, 0.00},
		{8.90, 20, 10, 0.329, 0.30, 0.15, 0.30, 0.05, 0.30, 0.20, 0.20, 9.08, 9.22, -0.15, 0.01},
	} {
		where := fmt.Sprintf("water %d", i+1)
		sol, err := s.SpeciateCarbon(mmol(w.celsius, w.ph, w.ca, w.mg, w.na, w.k, 0, w.cl, w.no3, w.so4), w.carbon/1000)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		at, err := s.Equilibrate(sol.Totals, w.at)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		p, err := s.ClosedPrecipitation(sol.Totals, w.at, 0)
		if err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		worst.Check(t, where, "pH at the other temperature", at.PH, w.phAt, 0.03)
		worst.Check(t, where, "saturation index", at.SaturationIndex(Calcite), w.si, 0.06)
		worst.Check(t, where, "pH at saturation", p.Solution.PH, w.saturationPH, 0.05)
		worst.Check(t, where, "calcite to dissolve, mmol/L", -p.CalciteMmolPerKg, w.dissolve, 0.03)
	}
	t.Logf("largest deviations: %v", worst)
}

// Tang and others (2021), Water 13(1), 42: calcite precipitation potential of
// Danish drinking waters rises by 0.17 to 1.51 mmol/kg from 10 to 90 °C closed.
// The waters of that country are middling to hard; so is this one.
func TestHeatingDrinkingWater(t *testing.T) {
	s := NewSolver()
	sol, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	cold, err := s.ClosedPrecipitation(sol.Totals, 10, 0)
	if err != nil {
		t.Fatal(err)
	}
	hot, err := s.ClosedPrecipitation(sol.Totals, 90, 0)
	if err != nil {
		t.Fatal(err)
	}
	if rise := hot.CalciteMmolPerKg - cold.CalciteMmolPerKg; !(rise > 0.17 && rise < 1.51) {
		t.Errorf("rises by %.3f mmol/kg, want 0.17 to 1.51", rise)
	}
}

// Solubilities in pure water from handbooks (CRC Handbook, from memory):
// calcite under air of 10^-3.5 atm about 0.5 mmol/kg at 25 °C with a pH of
// 8.3; gypsum 2.4 g of the dihydrate per litre at 25 °C, 15 mmol/kg (Appelo
// 2015 has 15.1), found here as the point of saturation of CaSO4.
func TestSolubilityInPureWater(t *testing.T) {
	s := NewSolver()
	p, err := s.OpenPrecipitation(water.Totals{}, 25, -3.5, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := -p.CalciteMmolPerKg; math.Abs(got-0.5) > 0.05 {
		t.Errorf("calcite: %.3f mmol/kg, want 0.5", got)
	}
	if math.Abs(p.Solution.PH-8.3) > 0.05 {
		t.Errorf("pH %.3f, want 8.3", p.Solution.PH)
	}
	low, high := 0.005, 0.03
	for range 40 {
		middle := (low + high) / 2
		sol, err := s.Equilibrate(water.Totals{Calcium: middle, Sulfate: middle}, 25)
		if err != nil {
			t.Fatal(err)
		}
		if sol.SaturationIndex(Gypsum) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	if math.Abs(low-0.0152) > 0.0006 {
		t.Errorf("gypsum: %.4f mol/kg, want 0.0152", low)
	}
}
