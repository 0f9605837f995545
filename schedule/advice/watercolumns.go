package advice

import (
	"math"

	"limekeep/water/equilibrium"
)

// tableColumn is a column that a table of waters gets worked out. Decimals are
// those of the reference tables of package water.
type tableColumn struct {
	name     string
	decimals int
	value    func(tableAnswer) float64 // NaN or infinite: the cell stays empty
}

// tableAnswer is all that was worked out for a row.
type tableAnswer struct {
	hot          equilibrium.Solution
	closed, open equilibrium.Precipitation
	concentrated *equilibrium.Precipitation // nil: not asked
	steady       *equilibrium.Precipitation // nil: not asked
}

// heatedColumns tell of the water heated in a closed vessel, and of the calcite
// it would lay down, mmol/kg.
var heatedColumns = []tableColumn{
	{"ph_at_t", 4, func(a tableAnswer) float64 { return a.hot.PH }},
	{"ionic_strength_mol_kg", 6, func(a tableAnswer) float64 { return a.hot.IonicStrength }},
	{"si_calcite", 4, index(equilibrium.Calcite)},
	{"si_aragonite", 4, index(equilibrium.Aragonite)},
	{"si_gypsum", 4, index(equilibrium.Gypsum)},
	{"si_anhydrite", 4, index(equilibrium.Anhydrite)},
	{"si_sio2_amorphous", 4, index(equilibrium.AmorphousSilica)},
	{"closed_calcite_precipitated_mmol_kg", 5, func(a tableAnswer) float64 { return a.closed.CalciteMmolPerKg }},
	{"closed_final_ph", 4, func(a tableAnswer) float64 { return a.closed.Solution.PH }},
	{"open_pco2_3p5_calcite_precipitated_mmol_kg", 5, func(a tableAnswer) float64 { return a.open.CalciteMmolPerKg }},
	{"open_final_ph", 4, func(a tableAnswer) float64 { return a.open.Solution.PH }},
}

// concentratedColumns tell of the water boiled down with CO2 held at that of
// the air.
var concentratedColumns = []tableColumn{
	{"boiler_ph", 4, concentrated(func(p *equilibrium.Precipitation) float64 { return p.Solution.PH })},
	{"boiler_ionic_strength_mol_kg", 6, concentrated(func(p *equilibrium.Precipitation) float64 { return p.Solution.IonicStrength })},
	{"boiler_calcite_mmol_per_kg_feed", 5, concentrated(func(p *equilibrium.Precipitation) float64 { return p.CalciteMmolPerKg })},
	{"boiler_anhydrite_mmol_per_kg_feed", 5, concentrated(func(p *equilibrium.Precipitation) float64 { return p.AnhydriteMmolPerKg })},
}

// steadyColumns tell of a steam boiler fed with the water, in its steady state.
var steadyColumns = []tableColumn{
	{"steady_log10_pco2_atm", 4, steady(func(p *equilibrium.Precipitation) float64 { return p.Solution.Log10PCO2 })},
	{"steady_ph", 4, steady(func(p *equilibrium.Precipitation) float64 { return p.Solution.PH })},
	{"steady_ionic_strength_mol_kg", 6, steady(func(p *equilibrium.Precipitation) float64 { return p.Solution.IonicStrength })},
	{"steady_calcite_mmol_per_kg_feed", 5, steady(func(p *equilibrium.Precipitation) float64 { return p.CalciteMmolPerKg })},
	{"steady_anhydrite_mmol_per_kg_feed", 5, steady(func(p *equilibrium.Precipitation) float64 { return p.AnhydriteMmolPerKg })},
	{"steady_brucite_mmol_per_kg_feed", 5, steady(func(p *equilibrium.Precipitation) float64 { return p.BruciteMmolPerKg })},
}

func index(m equilibrium.Mineral) func(tableAnswer) float64 {
	return func(a tableAnswer) float64 { return a.hot.SaturationIndex(m) }
}

func concentrated(f func(*equilibrium.Precipitation) float64) func(tableAnswer) float64 {
	return func(a tableAnswer) float64 { return ifAsked(a.concentrated, f) }
}

func steady(f func(*equilibrium.Precipitation) float64) func(tableAnswer) float64 {
	return func(a tableAnswer) float64 { return ifAsked(a.steady, f) }
}

func ifAsked(p *equilibrium.Precipitation, f func(*equilibrium.Precipitation) float64) float64 {
	if p == nil {
		return math.NaN()
	}
	return f(p)
}
