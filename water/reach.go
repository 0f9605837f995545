package water

import "math"

// reach tells waters the solver can speciate from those it cannot, at one
// temperature, without solving: thousands are drawn for every one kept.
type reach struct {
	// Equilibrium constants of what holds alkalinity without carbon.
	oh, h3SiO4, caOH, mgOH float64
	co2                    float64 // CO2 + H2O = HCO3- + H+
}

const (
	// Room for activity coefficients in the least alkalinity.
	reachMargin = 1.3
	// More CO2 than in sparkling water, mol/kg (about 4 g/kg: assumption).
	reachMostCO2 = 0.1
)

// newReach works out the constants at celsius.
func newReach(celsius float64) reach {
	k := func(r reaction) float64 { return math.Pow(10, r.Log10K(celsius)) }
	return reach{
		oh: k(reactionOH), h3SiO4: k(reactionH3SiO4), caOH: k(reactionCaOH), mgOH: k(reactionMgOH),
		co2: k(reactionHCO3) / k(reactionCO2),
	}
}

// holds says whether a water of these totals and pH is one the program
// covers: a plausible pH, more alkalinity than hydroxide, silicate and the
// hydroxides of calcium and magnesium hold at that pH, and no more CO2 than
// sparkling water.
func (r *reach) holds(t *Totals, ph float64) bool {
	low, high := PH.Plausible()
	if !(ph >= low && ph <= high && t.Sodium > 0 && t.Sulfate > 0) || t.validate() != nil {
		return false
	}
	h := math.Pow(10, -ph)
	least := (r.oh + t.Silica*r.h3SiO4/(1+r.h3SiO4/h) + t.Calcium*r.caOH + t.Magnesium*r.mgOH) / h
	return t.Alkalinity > reachMargin*least && (t.Alkalinity+h)*h/r.co2 < reachMostCO2
}
