package watertest

import "limekeep/water"

// Balanced has three quarters of its hardness as calcium, balanced by sodium
// or sulfate.
func Balanced(hardness, alkalinity, ph float64) water.Analysis {
	var t water.Totals
	t.Calcium = 0.75 * hardness / (1000 * water.MolarMassCalcite)
	t.Magnesium = 0.25 * hardness / (1000 * water.MolarMassCalcite)
	t.Alkalinity = alkalinity / (1000 * water.EquivalentMassCaCO3)
	if excess := t.ChargeBalance(); excess > 0 {
		t.Sulfate = excess / 2
	} else {
		t.Sodium = -excess
	}
	return t.Analysis(water.MainsCelsius, ph)
}
