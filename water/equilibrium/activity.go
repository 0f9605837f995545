package equilibrium

import "math"

// ionSize holds the two parameters of the extended Debye-Hückel equation in
// the form of Truesdell and Jones (1974), J. Res. U.S. Geol. Surv. 2, 233:
//
//	log γ = -A·z²·√I/(1 + B·a·√I) + b·I
//
// Figures from phreeqc.dat, Parkhurst and Appelo (2013).
type ionSize struct {
	angstrom float64 // a, Å
	linear   float64 // b, kg/mol
}

var (
	sizeH      = ionSize{9, 0}
	sizeOH     = ionSize{3.5, 0}
	sizeNa     = ionSize{4.08, 0.082}
	sizeK      = ionSize{3.5, 0.015}
	sizeMg     = ionSize{5.5, 0.20}
	sizeCa     = ionSize{5, 0.165}
	sizeCO3    = ionSize{5.4, 0}
	sizeHCO3   = ionSize{5.4, 0.0078}
	sizeSO4    = ionSize{5.0, -0.04}
	sizeCaHCO3 = ionSize{6, 0}
	sizeMgHCO3 = ionSize{4, 0}
	sizeMgOH   = ionSize{6.5, 0}
	sizeNaSO4  = ionSize{3.5, 0.1072}
	sizeKSO4   = ionSize{5.4, 0.19}
	sizeH2SiO4 = ionSize{5.4, 0}
	sizeMgSO42 = ionSize{7, 0.047}
)

// The slope of log γ against I of neutral species, kg/mol: Parkhurst and
// Appelo (2013), 0.1 where nothing better is known.
const (
	linearCO2     = 0.066
	linearCaSO4   = 0.0445
	linearMgSO4   = 0.20
	linearNaHCO3  = 0.151
	linearNa2SO4  = 0.0885
	linearNeutral = 0.1
)

// daviesLinear is the slope in log γ = -A·z²·(√I/(1+√I) - 0.3·I): Davies
// (1962), Ion Association. It serves ions without a size of their own.
const daviesLinear = 0.3

// waterActivityPerMol is how far the activity of water falls per mole of
// solute in a kilogram: 1 - 0.017·Σm, Garrels and Christ (1965), Solutions,
// Minerals, and Equilibria, 65.
const waterActivityPerMol = 0.017

// leastWaterActivity keeps a trial of the search far from any real water
// within bounds; no answer comes near it.
const leastWaterActivity = 0.5

// activityTerms are the parts of the activity model that all species share.
type activityTerms struct {
	slope    float64 // A·√I·ln 10
	length   float64 // B·√I
	strength float64 // I·ln 10
}

// inverse returns 1/γ of an ion of charge ±1 (square 1) or ±2 (square 4).
func (t *activityTerms) inverse(ion *ionSize, square float64) float64 {
	return math.Exp(square*t.slope/(1+t.length*ion.angstrom) - ion.linear*t.strength)
}

// inverseNeutral returns 1/γ of a neutral species.
func (t *activityTerms) inverseNeutral(linear float64) float64 {
	return math.Exp(-linear * t.strength)
}

// conditional are the constants of the model at one temperature and ionic
// strength: the molality of each species is its constant times the activities
// of the free ions it is made of.
type conditional struct {
	waterActivity float64

	h, oh, co3, hco3, co2, so4, hso4       float64
	ca, caOH, caCO3, caHCO3, caSO4, caHSO4 float64
	mg, mgOH, mgCO3, mgHCO3, mgSO4, mgSO42 float64
	na, naHCO3, naSO4, na2SO4              float64
	k, kHCO3, kSO4                         float64
	si, siH3, siH2                         float64 // H4SiO4, H3SiO4-, H2SiO4-2
}

// set fills the constants for a temperature, an ionic strength in mol/kg and
// the sum of all solutes in mol/kg.
func (c *conditional) set(th *temperatureTable, strength, solutes float64) {
	root := math.Sqrt(strength)
	t := activityTerms{slope: th.a * root, length: th.b * root, strength: math.Ln10 * strength}
	davies := math.Exp(th.a * (root/(1+root) - daviesLinear*strength))
	four := t.inverse(&sizeMgHCO3, 1) // MgHCO3+ and H3SiO4- share a size of 4 Å
	neutral := t.inverseNeutral(linearNeutral)
	w := math.Max(1-waterActivityPerMol*solutes, leastWaterActivity)
	k := &th.k

	c.waterActivity = w
	c.h = t.inverse(&sizeH, 1)
	c.oh = k[ReactionOH] * w * t.inverse(&sizeOH, 1)
	c.co3 = t.inverse(&sizeCO3, 4)
	c.hco3 = k[ReactionHCO3] * t.inverse(&sizeHCO3, 1)
	c.co2 = k[ReactionCO2] / w * t.inverseNeutral(linearCO2)
	c.so4 = t.inverse(&sizeSO4, 4)
	c.hso4 = k[reactionHSO4] * davies

	c.ca = t.inverse(&sizeCa, 4)
	c.caOH = k[ReactionCaOH] * w * davies
	c.caCO3 = k[reactionCaCO3] * neutral
	c.caHCO3 = k[reactionCaHCO3] * t.inverse(&sizeCaHCO3, 1)
	c.caSO4 = k[ReactionCaSO4] * t.inverseNeutral(linearCaSO4)
	c.caHSO4 = k[reactionCaHSO4] * k[reactionHSO4] * davies

	c.mg = t.inverse(&sizeMg, 4)
	c.mgOH = k[ReactionMgOH] * w * t.inverse(&sizeMgOH, 1)
	c.mgCO3 = k[reactionMgCO3] * neutral
	c.mgHCO3 = k[reactionMgHCO3] * four
	mgSO4 := k[ReactionMgSO4]
	c.mgSO4 = mgSO4 * t.inverseNeutral(linearMgSO4)
	c.mgSO42 = k[reactionMgSO42] * mgSO4 * t.inverse(&sizeMgSO42, 4)

	c.na = t.inverse(&sizeNa, 1)
	c.naHCO3 = k[reactionNaHCO3] * k[ReactionHCO3] * t.inverseNeutral(linearNaHCO3)
	c.naSO4 = k[reactionNaSO4] * t.inverse(&sizeNaSO4, 1)
	c.na2SO4 = k[reactionNa2SO4] * t.inverseNeutral(linearNa2SO4)
	c.k = t.inverse(&sizeK, 1)
	c.kHCO3 = k[reactionKHCO3] * k[ReactionHCO3] * neutral
	c.kSO4 = k[reactionKSO4] * t.inverse(&sizeKSO4, 1)
	c.si = neutral
	c.siH3 = k[ReactionH3SiO4] * four
	c.siH2 = k[reactionH2SiO4] * t.inverse(&sizeH2SiO4, 4)
}
