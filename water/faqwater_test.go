package water

// faqWater has three quarters of its hardness as calcium, balanced by sodium
// or sulfate.
func faqWater(hardness, alkalinity, ph float64) Analysis {
	var t Totals
	t.Calcium = 0.75 * hardness / (1000 * MolarMassCalcite)
	t.Magnesium = 0.25 * hardness / (1000 * MolarMassCalcite)
	t.Alkalinity = alkalinity / (1000 * equivalentMassCaCO3)
	if excess := t.ChargeBalance(); excess > 0 {
		t.Sulfate = excess / 2
	} else {
		t.Sodium = -excess
	}
	return t.Analysis(testDefaultCelsius, ph)
}
