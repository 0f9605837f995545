package equilibrium

import (
	"math"

	"limekeep/water"
)

// LangelierIndex returns the saturation index as the trade works it out from
// four test values: pH less the pH at saturation
//
//	pHs = 9.3 + (log10 TDS - 1)/10 + 34.55 - 13.12·log10 T - (log10 Ca - 0.4) - log10 Alk
//
// after Langelier (1936), J. Am. Water Works Assoc. 28, 1500, in the closed
// form of water treatment handbooks (coefficients from memory). celsius is 0
// to 95; dissolved solids in mg/L and calcium and alkalinity in mg/L as CaCO3
// are above 0 to 100000, pH is 2 to 12.5. It knows no ion pairs and no change
// of pH with temperature: Solution.SaturationIndex does.
func LangelierIndex(ph, celsius, solidsMgPerL, calciumMgPerLCaCO3, alkalinityMgPerLCaCO3 float64) (float64, error) {
	saturation, err := langelierPH(ph, celsius, solidsMgPerL, calciumMgPerLCaCO3, alkalinityMgPerLCaCO3)
	return ph - saturation, err
}

// RyznarIndex returns 2·pHs - pH, pHs as for LangelierIndex: below 6 scale is
// expected, above 7 corrosion of steel, by Ryznar (1944), J. Am. Water Works
// Assoc. 36, 472, who fitted it to cold mains.
func RyznarIndex(ph, celsius, solidsMgPerL, calciumMgPerLCaCO3, alkalinityMgPerLCaCO3 float64) (float64, error) {
	saturation, err := langelierPH(ph, celsius, solidsMgPerL, calciumMgPerLCaCO3, alkalinityMgPerLCaCO3)
	return 2*saturation - ph, err
}

// langelierPH is the pH at saturation, its inputs checked.
func langelierPH(ph, celsius, solids, calcium, alkalinity float64) (float64, error) {
	const least, most = 1e-3, 1e5
	for _, c := range [...]struct {
		name             string
		value, low, high float64
	}{
		{"pH", ph, water.MinPH, water.MaxPH},
		{"temperature, °C", celsius, 0, 95},
		{"dissolved solids, mg/L", solids, least, most},
		{"calcium hardness, mg/L as CaCO3", calcium, least, most},
		{"alkalinity, mg/L as CaCO3", alkalinity, least, most},
	} {
		if err := water.CheckRange(c.name, c.value, c.low, c.high); err != nil {
			return math.NaN(), err
		}
	}
	return 9.3 + (math.Log10(solids)-1)/10 + 34.55 - 13.12*math.Log10(celsius+water.KelvinAtZeroCelsius) -
		(math.Log10(calcium) - 0.4) - math.Log10(alkalinity), nil
}
