package boiler

import "limekeep/water/corrosion"

// Limits is what a boiler's water may hold, in mg per litre of it
// cooled, which weighs a kilogram. A limit of 0 is not looked at.
type Limits struct {
	AlkalinityMgPerLCaCO3 float64
	SolidsMgPerL          float64
	ChlorideMgPerL        float64
	SilicaMgPerL          float64 // as SiO2
}

// UsualLimits are limits for a boiler of stainless steel: alkalinity,
// dissolved solids and silica as the American Boiler Manufacturers Association
// has them for boilers up to 300 psig (from memory), chloride as package corrosion has
// it. A maker's figure goes before.
func UsualLimits() Limits {
	return Limits{
		AlkalinityMgPerLCaCO3: 700,
		SolidsMgPerL:          3500,
		ChlorideMgPerL:        corrosion.StainlessChlorideMgPerL,
		SilicaMgPerL:          150,
	}
}
