package boiler

import (
	"math"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// SteadyPoint is what a boiler does at one concentration.
type SteadyPoint struct {
	CalciteMmolPerKg   float64 // per kg fed
	AnhydriteMmolPerKg float64
	BruciteMmolPerKg   float64
	PH                 float64      // of the boiler water
	Water              water.Totals // in the boiler, mol/kg
}

// cell holds mmol of solids per kg fed, pH and mmol of carbon in a
// kilogram of the boiler water over its concentration. Where a solid does not
// form it holds, below zero, how much of it would dissolve: so the point from
// which it does form lies right between two knots, too.
type cell [columnSolids + columnRest]float64

// fill works out a cell, from where its search may begin.
func (c *cell) fill(s *equilibrium.Solver, from equilibrium.Start, feed water.Totals, celsius, factor, share, offset float64, brucite bool) error {
	p, err := s.SteamPrecipitationFrom(from, feed, celsius, factor, factor*share, offset, brucite)
	if err != nil {
		return err
	}
	*c = cell{
		p.CalciteMmolPerKg, p.AnhydriteMmolPerKg, p.BruciteMmolPerKg,
		p.Solution.PH, 1000 * p.Solution.Totals.Carbon / factor,
	}
	w := &p.Solution.Totals
	scale := -1000 / factor
	if c[0] == 0 {
		c[0] = scale * wanting(w.Calcium, w.Alkalinity, 2, p.Solution.SaturationIndex(equilibrium.Calcite)+offset)
	}
	if c[1] == 0 {
		c[1] = scale * wanting(w.Calcium, w.Sulfate, 1, p.Solution.SaturationIndex(equilibrium.Anhydrite))
	}
	if c[2] == 0 && brucite {
		c[2] = scale * wanting(w.Magnesium, w.Alkalinity, 2, p.Solution.SaturationIndex(equilibrium.Brucite))
	}
	return nil
}

// wanting estimates how many mol/kg of a solid would dissolve into undersaturated
// water until (cation + x)·(anion + times·x)^times has grown to what saturates
// it, times being 2 where the anion is made from alkalinity under a given
// pressure of CO2. It is exact at saturation, where it matters.
func wanting(cation, anion, times, index float64) float64 {
	if !(cation > 0 && anion > 0 && index < 0 && index > -20) {
		return 0
	}
	x := 0.0
	for range 40 { // of a concave function, so Newton's method comes from below
		f := math.Log1p(x/cation) + times*math.Log1p(times*x/anion) + index*math.Ln10
		step := -f / (1/(cation+x) + times*times/(anion+times*x))
		x += step
		if step < 1e-6*x {
			break
		}
	}
	return x
}

// mostConcentration is how far a water can be concentrated before it leaves the model.
func mostConcentration(t *water.Totals) float64 {
	const spare = 0.999
	most := water.MaxStrengthMol / t.FreeIonicStrength()
	for _, c := range [...]float64{t.Calcium, t.Magnesium, t.Sodium, t.Potassium, t.Chloride, t.Sulfate, t.Nitrate, t.Silica, t.Carbon, t.Alkalinity} {
		most = min(most, water.MaxTotalMol/math.Abs(c))
	}
	if t.Alkalinity < 0 {
		most = min(most, water.MinAlkalinityMol/t.Alkalinity)
	}
	return most * spare
}
