package boiler

import (
	"fmt"

	"limekeep/water"
	"limekeep/water/conductivity"
	"limekeep/water/corrosion"
)

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

// Comparison is one value of a boiler's water against its limit.
type Comparison struct {
	Quantity water.Quantity
	MgPerL   float64 // alkalinity as CaCO3, silica as SiO2
	Limit    float64 // mg/L
	Sentence string  // plain English, with the numbers; empty below the limit
}

// Share is the value as a share of its limit: 1 is the limit.
func (r Comparison) Share() float64 { return r.MgPerL / r.Limit }

// Compare holds the dissolved constituents of a boiler's water against the
// limits: alkalinity, dissolved solids, chloride and silica, in this order.
func (l Limits) Compare(dissolved water.Totals) []Comparison {
	a := dissolved.Analysis(0, 0)
	all := []Comparison{
		{Quantity: water.Alkalinity, MgPerL: a.AlkalinityMgPerKgCaCO3, Limit: l.AlkalinityMgPerLCaCO3,
			Sentence: "the water foams and steam carries drops of it over"},
		{Quantity: water.TDS, MgPerL: conductivity.DissolvedSolids(a), Limit: l.SolidsMgPerL,
			Sentence: "the water foams and steam carries drops of it over"},
		{Quantity: water.Chloride, MgPerL: a.ChlorideMgPerKg, Limit: l.ChlorideMgPerL,
			Sentence: "chloride pits stainless steel"},
		{Quantity: water.Silica, MgPerL: a.SilicaMgPerKg, Limit: l.SilicaMgPerL,
			Sentence: "silica lays down a glassy scale that no acid of the kitchen takes off"},
	}
	kept := all[:0]
	for _, r := range all {
		if r.Limit <= 0 {
			continue
		}
		if r.Share() > 1 {
			r.Sentence = fmt.Sprintf("%s in the boiler is about %.3g mg/L, above %.3g: %s; refresh the boiler water", r.Quantity, r.MgPerL, r.Limit, r.Sentence)
		} else {
			r.Sentence = ""
		}
		kept = append(kept, r)
	}
	return kept
}

// Foaming is how near a boiler's water is to foaming: the greater share of
// alkalinity and dissolved solids in their limits, which the makers of boilers
// set for that reason. From 1 on wet steam and a misled level probe are to be
// expected.
func (l Limits) Foaming(dissolved water.Totals) float64 {
	worst := 0.0
	for _, r := range l.Compare(dissolved) {
		if r.Quantity == water.Alkalinity || r.Quantity == water.TDS {
			worst = max(worst, r.Share())
		}
	}
	return worst
}
