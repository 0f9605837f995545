package corrosion

import (
	"math"

	"limekeep/water"
)

// LarsonSkoldIndex returns (Cl- + SO4-2)/(HCO3- + CO3-2) in equivalents, with
// alkalinity for the carbonates: Larson and Skold (1958), Corrosion 14, 285.
// Below 0.8 chloride and sulfate are unlikely to disturb a protective film,
// above 1.2 corrosion is expected. It was found on mains of iron and mild
// steel and says nothing of stainless steel, copper or brass. Alkalinity must
// be above 0, otherwise it is a *ValueError.
func LarsonSkoldIndex(a water.Analysis) (float64, error) {
	if err := a.Validate(); err != nil {
		return math.NaN(), err
	}
	t := a.Totals()
	if t.Alkalinity <= 0 {
		return math.NaN(), &water.ValueError{Quantity: "alkalinity, mg/kg as CaCO3", Value: a.AlkalinityMgPerKgCaCO3, Want: "above 0, for the Larson-Skold index divides by it"}
	}
	return (t.Chloride + 2*t.Sulfate) / t.Alkalinity, nil
}
