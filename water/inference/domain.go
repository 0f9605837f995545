package inference

import (
	"math"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// domain tells waters the solver can speciate from those it cannot, at one
// temperature, without solving: thousands are drawn for every one kept.
type domain struct {
	// Equilibrium constants of what holds alkalinity without carbon.
	oh, h3SiO4, caOH, mgOH float64
	co2                    float64 // CO2 + H2O = HCO3- + H+
}

const (
	// Room for activity coefficients in the least alkalinity.
	domainMargin = 1.3
	// More CO2 than in sparkling water, mol/kg (about 4 g/kg: assumption).
	domainMostCO2 = 0.1
)

// newDomain works out the constants at celsius.
func newDomain(celsius float64) domain {
	k := func(r equilibrium.Reaction) float64 { return math.Pow(10, r.Log10K(celsius)) }
	return domain{
		oh: k(equilibrium.ReactionOH), h3SiO4: k(equilibrium.ReactionH3SiO4), caOH: k(equilibrium.ReactionCaOH), mgOH: k(equilibrium.ReactionMgOH),
		co2: k(equilibrium.ReactionHCO3) / k(equilibrium.ReactionCO2),
	}
}

// contains says whether a water of these totals and pH is one the program
// covers: a plausible pH, more alkalinity than hydroxide, silicate and the
// hydroxides of calcium and magnesium hold at that pH, and no more CO2 than
// sparkling water.
func (r *domain) contains(t *water.Totals, ph float64) bool {
	low, high := water.PH.Plausible()
	if !(ph >= low && ph <= high && t.Sodium > 0 && t.Sulfate > 0) || t.ValidateSalts() != nil {
		return false
	}
	h := math.Pow(10, -ph)
	least := (r.oh + t.Silica*r.h3SiO4/(1+r.h3SiO4/h) + t.Calcium*r.caOH + t.Magnesium*r.mgOH) / h
	return t.Alkalinity > domainMargin*least && (t.Alkalinity+h)*h/r.co2 < domainMostCO2
}
