package wear

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/water/deposit"
)

// What a vessel can hold of scale, as a share of its volume. A boiler that is a third
// full of scale no longer feeds its element with water (assumption). Where water
// passes, the bore narrows until no shot runs any more: half of the flow of the free
// bore still passes one that has lost 16 % of its width, by its fourth power, and 29 %
// of its section (Hagen and Poiseuille; that half is too little is an assumption).
const (
	boilerHoldsShare = 1.0 / 3
	passingFlowShare = 0.5
	gramsPerLitre    = 1000 * deposit.CalciteDensityGramsPerCm3
)

// mostGrams is the most scale that a vessel can hold while it still works.
func (s vesselShape) mostGrams() float64 {
	share := boilerHoldsShare
	if s.kind == record.HeatExchanger || s.kind == record.Thermoblock {
		share = 1 - math.Sqrt(passingFlowShare)
	}
	return s.litres * share * gramsPerLitre * (1 - usualPorosity.Likely)
}

// held is what a vessel holds of the grams that were laid down there: all of little,
// and never more than the most. Smooth, so that a little more never jumps: the bend is by
// the fourth power, a choice.
func held(grams, most float64) float64 {
	if most <= 0 || grams <= 0 {
		return grams
	}
	share := grams / most
	return grams / math.Sqrt(math.Sqrt(1+share*share*share*share))
}

// free is how many grams have to be laid down for a vessel to hold so many: held turned
// round. Infinite where it never holds as many.
func free(grams, most float64) float64 {
	if most <= 0 || grams <= 0 {
		return grams
	}
	share := grams / most
	return grams / math.Sqrt(math.Sqrt(max(0, 1-share*share*share*share)))
}
