package equilibrium

import (
	"math"

	"limekeep/water"
	"limekeep/water/steam"
)

// Reaction numbers the equilibria of the model. Each is written as in the
// comment beside it.
type Reaction int

// The equilibria of the model.
const (
	ReactionOH      Reaction = iota // H2O = OH- + H+
	ReactionHCO3                    // CO3-2 + H+ = HCO3-
	ReactionCO2                     // CO3-2 + 2 H+ = CO2(aq) + H2O
	reactionHSO4                    // SO4-2 + H+ = HSO4-
	ReactionCaOH                    // Ca+2 + H2O = CaOH+ + H+
	reactionCaCO3                   // Ca+2 + CO3-2 = CaCO3(aq)
	reactionCaHCO3                  // Ca+2 + CO3-2 + H+ = CaHCO3+
	ReactionCaSO4                   // Ca+2 + SO4-2 = CaSO4(aq)
	reactionCaHSO4                  // Ca+2 + HSO4- = CaHSO4+
	ReactionMgOH                    // Mg+2 + H2O = MgOH+ + H+
	reactionMgCO3                   // Mg+2 + CO3-2 = MgCO3(aq)
	reactionMgHCO3                  // Mg+2 + CO3-2 + H+ = MgHCO3+
	ReactionMgSO4                   // Mg+2 + SO4-2 = MgSO4(aq)
	reactionMgSO42                  // MgSO4(aq) + SO4-2 = Mg(SO4)2-2
	reactionNaHCO3                  // Na+ + HCO3- = NaHCO3(aq)
	reactionNaSO4                   // Na+ + SO4-2 = NaSO4-
	reactionNa2SO4                  // 2 Na+ + SO4-2 = Na2SO4(aq)
	reactionKHCO3                   // K+ + HCO3- = KHCO3(aq)
	reactionKSO4                    // K+ + SO4-2 = KSO4-
	ReactionH3SiO4                  // H4SiO4 = H3SiO4- + H+
	reactionH2SiO4                  // H4SiO4 = H2SiO4-2 + 2 H+
	ReactionCO2Gas                  // CO2(g) = CO2(aq), per atm
	reactionMineral                 // the minerals follow, in the order of Mineral
	reactions       = reactionMineral + Reaction(minerals)
)

// expression is log10 K by temperature: with coefficients a,
//
//	log10 K = a1 + a2·T + a3/T + a4·log10 T + a5/T² + a6·T²
//
// and without any, van 't Hoff's line from logK25 and the enthalpy. Above
// 100 °C the pressure of steam adds -ΔV·(P - 1 atm)/(ln 10·R·T).
type expression struct {
	logK25           float64 // at 25 °C
	enthalpyKJPerMol float64 // of the reaction as written, at 25 °C
	volumeCm3PerMol  float64 // change of volume around 120 °C, 0 where not known
	a                [6]float64
}

// expressions holds every equilibrium constant of the model. The figures are
// those of the database phreeqc.dat of 2025 (Parkhurst and Appelo 2013, USGS
// Techniques and Methods 6-A43), which has them from the papers named at the
// end of each line; brucite is from wateq4f.dat of the same collection. The
// volumes are fitted to the constants PHREEQC 3.8.9 gives from 105 to 140 °C
// under the pressure of steam; they move a saturation index by 0.003 at most.
//
//	PB82  Plummer and Busenberg (1982), Geochim. Cosmochim. Acta 46, 1011
//	E59   Ellis (1959), Am. J. Sci. 257, 354, joined to PB82 up to 300 °C
//	A15   Appelo (2015), Appl. Geochem. 55, 62
//	BD73  Blount and Dickson (1973), Am. Mineral. 58, 323
//	N90   Nordstrom and others (1990), ACS Symp. Ser. 416, 398
//	PA13  fitted by Parkhurst and Appelo, or no paper named there
var expressions = [reactions]expression{
	ReactionOH:                            {-14.0, 56.4, -29, [6]float64{293.29227, 0.1360833, -10576.913, -123.73158, 0, -6.996455e-5}}, // PA13
	ReactionHCO3:                          {10.329, -14.90, 36.5, [6]float64{107.8871, 0.03252849, -5151.79, -38.92561, 563713.9, 0}},    // PB82
	ReactionCO2:                           {16.681, -24.01, 76.4, [6]float64{464.1965, 0.09344813, -26986.16, -165.75951, 2248628.9, 0}}, // PB82
	reactionHSO4:                          {1.988, 16.11, 33.9, [6]float64{-56.889, 0.006473, 2307.9, 19.8858, 0, 0}},                    // N90
	ReactionCaOH:                          {-12.78, 0, 0, [6]float64{}},                                                                  // N90, no enthalpy known
	reactionCaCO3:                         {3.224, 14.83, 22, [6]float64{-1228.732, -0.29944, 35512.75, 485.818, 0, 0}},                  // PB82
	reactionCaHCO3:                        {6.27, 143.2, 47.3, [6]float64{56.273, -0.041779, -11194, 0, 0, 0}},                           // PA13
	ReactionCaSO4:                         {2.14, 24.4, 28.1, [6]float64{1.478, 0.00829, -538.2, 0, 0, 0}},                               // A15
	reactionCaHSO4:                        {1.08, 0, 0, [6]float64{}},                                                                    // N90, no enthalpy known
	ReactionMgOH:                          {-11.44, 66.74, 0, [6]float64{}},                                                              // N90
	reactionMgCO3:                         {2.98, 11.35, 25.4, [6]float64{0.991, 0.00667, 0, 0, 0, 0}},                                   // N90
	reactionMgHCO3:                        {11.399, -11.59, 46.8, [6]float64{48.6721, 0.03252849, -2614.335, -18.00263, 563713.9, 0}},    // N90
	ReactionMgSO4:                         {2.42, 19.0, 26.3, [6]float64{0, 0.00964, -136, 0, 0, 0}},                                     // A15
	reactionMgSO42:                        {0.52, -13.6, 0, [6]float64{0, -0.00151, 0, 0, 86040, 0}},                                     // A15
	reactionNaHCO3:                        {-0.433, 11.4, 0, [6]float64{-3.589, 0.00794, 273, 0, 0, 0}},                                  // PA13
	reactionNaSO4:                         {0.94, 8.23, 0, [6]float64{-0.304, 0.00451, -28.9, 0, 0, 0}},                                  // A15
	reactionNa2SO4:                        {-2.37, 82, 0, [6]float64{15.432, -0.00575, -4796, 0, 0, 0}},                                  // PA13, from the solubility of sulfates in NaCl
	reactionKHCO3:                         {-0.35, 12.0, 0, [6]float64{}},                                                                // PA13
	reactionKSO4:                          {1.18, 3.0, 0, [6]float64{-3.0246, 0.009986, 0, 0, 109300, 0}},                                // A15
	ReactionH3SiO4:                        {-9.83, 25.61, 0, [6]float64{-302.3724, -0.050698, 15669.69, 108.18466, -1119669, 0}},         // N90
	reactionH2SiO4:                        {-23.0, 73.6, 0, [6]float64{-294.0184, -0.07265, 11204.49, 108.18466, -1119669, 0}},           // N90
	ReactionCO2Gas:                        {-1.468, -19.98, 42.6, [6]float64{10.5624, -0.023547, -3972.8, 0, 587460, 1.9194e-5}},         // PA13
	reactionMineral + Reaction(Calcite):   {-8.45, -13.18, -73, [6]float64{-67.87, -0.051813, 0, 30.25746, 0, 0}},                        // E59, PB82
	reactionMineral + Reaction(Aragonite): {-8.336, -10.83, -70.4, [6]float64{-171.9773, -0.077993, 2903.293, 71.595, 0, 0}},             // PB82
	reactionMineral + Reaction(Gypsum):    {-4.55, -6.70, -51.8, [6]float64{72.244, -0.01474, -4040, -23.7823, 0, 0}},                    // A15
	reactionMineral + Reaction(Anhydrite): {-4.25, -22.4, -62.6, [6]float64{5.725, -0.02478, -790.4, 0, 0, 0}},                           // BD73, A15
	reactionMineral + Reaction(Brucite):   {16.84, -113.4, 0, [6]float64{}},                                                              // N90, wateq4f.dat
	reactionMineral + Reaction(AmorphousSilica): {-2.71, 13.97, 9.4, [6]float64{-0.26, 0, -731, 0, 0, 0}}, // N90
}

// gasConstantKJ is the molar gas constant in kJ/(mol·K), exact since the SI of
// 2019.
const gasConstantKJ = 8.31446261815324e-3

// gasConstantCm3Atm is the same in cm³·atm/(mol·K): 1 J is 1/0.101325 cm³·atm.
const gasConstantCm3Atm = 1000 * gasConstantKJ / water.MegapascalPerAtm

// standardKelvin is 25 °C, the reference of tabulated constants.
const standardKelvin = 298.15

// temperaturePowers are the terms of an expression that depend on temperature
// alone, worked out once for all the reactions.
type temperaturePowers struct {
	t, inverse, log10, inverseSquare, square float64

	pressure float64 // (P - 1 atm)/(ln 10·R·T), mol/cm³
}

func powersOf(celsius float64) temperaturePowers {
	t := celsius + water.KelvinAtZeroCelsius
	p := temperaturePowers{t: t, inverse: 1 / t, log10: math.Log10(t), inverseSquare: 1 / (t * t), square: t * t}
	if excess := steam.SaturationMPa(t)/water.MegapascalPerAtm - 1; excess > 0 {
		p.pressure = excess * p.inverse / (math.Ln10 * gasConstantCm3Atm)
	}
	return p
}

// log10K evaluates the expression of a reaction.
func (r Reaction) log10K(p *temperaturePowers) float64 {
	e := &expressions[r]
	pressure := -e.volumeCm3PerMol * p.pressure
	if e.a == [6]float64{} {
		return pressure + e.logK25 - e.enthalpyKJPerMol/(math.Ln10*gasConstantKJ)*(p.inverse-1/standardKelvin)
	}
	return pressure + e.a[0] + e.a[1]*p.t + e.a[2]*p.inverse + e.a[3]*p.log10 + e.a[4]*p.inverseSquare + e.a[5]*p.square
}

// Log10K returns the decimal logarithm of a reaction's equilibrium constant at
// celsius, 0 to 140.
func (r Reaction) Log10K(celsius float64) float64 {
	p := powersOf(celsius)
	return r.log10K(&p)
}
