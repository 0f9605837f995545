package deposit

import (
	"math"

	"limekeep/water"
)

// Solids is what a water laid down.
type Solids struct {
	CalciteMol   float64
	AnhydriteMol float64
	BruciteMol   float64
}

// Grams is the mass of the solids.
func (s Solids) Grams() float64 {
	return s.CalciteMol*water.MolarMassCalcite + s.AnhydriteMol*water.MolarMassAnhydrite + s.BruciteMol*water.MolarMassBrucite
}

// Plus adds two lots of solids.
func (s Solids) Plus(o Solids) Solids {
	return Solids{s.CalciteMol + o.CalciteMol, s.AnhydriteMol + o.AnhydriteMol, s.BruciteMol + o.BruciteMol}
}

// CalciteDensityGramsPerCm3 is the density of calcite without pores
// (handbooks).
const CalciteDensityGramsPerCm3 = 2.71

// ScaleThicknessMM gives how thick scale lies, in mm, when its grams are spread
// evenly over an area in cm². Porosity is the share of its room that is water,
// 0 to below 1. All of it counts as calcite.
func ScaleThicknessMM(grams, areaCm2, porosity float64) float64 {
	const mmPerCm = 10
	return mmPerCm * grams / (CalciteDensityGramsPerCm3 * (1 - porosity) * areaCm2)
}

// Conversion gives the share of its potential that water lays down while it
// passes: 1 - exp(-t/τ), with the time it stays and the time constant of
// precipitation at the wall, both in seconds.
func Conversion(residenceSeconds, timeConstantSeconds float64) float64 {
	return -math.Expm1(-residenceSeconds / timeConstantSeconds)
}
