package inference

import (
	"math"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// priorKind is one kind of water a test may be of, and what is to be expected
// of it before anything is measured. Amounts are log-normal: the median and
// the standard deviation of the natural logarithm.
type priorKind struct {
	share float64 // of all tests
	// The density of waters drawn from the medians and deviances below that
	// happen to be electrically neutral, per eq/kg of imbalance: waters with
	// little in them balance more often, which must not make them commoner.
	// Computed from the figures below (a test repeats it).
	neutral float64

	hardness     priorAmount // mg/L CaCO3
	calciumShare priorAmount // ratio calcium to magnesium, molar
	alkalinity   priorAmount // mg/L CaCO3; as a ratio to hardness when alkalinityPerHardness
	chloride     priorAmount // mg/L
	sodium       priorAmount // mg/L; as a ratio to chloride, molar, when sodiumPerChloride
	sulfate      priorAmount // mg/L
	nitrate      priorAmount // mg/L
	potassium    priorAmount // mg/L
	silica       priorAmount // mg/L

	alkalinityPerHardness bool
	sodiumPerChloride     bool
	phSpread              float64 // about the pH expected of its calcium and alkalinity
}

// priorAmount is a log-normal.
type priorAmount struct {
	median, logSD float64
}

// priorKinds is the whole prior. All figures are assumptions, set to the
// middle of what European and North American public supplies report:
//
//   - alkalinity is mostly a little below hardness, because rain dissolves
//     both from the same limestone and gypsum adds hardness alone;
//   - sodium follows chloride, because road salt, sea spray and sewage bring
//     both;
//   - some tests are of treated water (softened, decarbonised, blended), where
//     anything may stand beside anything, and a few of purified water (reverse
//     osmosis, distilled), where next to nothing is left of all.
//
// Every water is electrically neutral: sodium and sulfate are tied by the
// balance of the others.
var priorKinds = [...]priorKind{
	{
		share:        0.91,
		neutral:      348,
		hardness:     priorAmount{160, 0.70},
		calciumShare: priorAmount{3.5, 0.60}, // 0.66 to 0.86 of the hardness, one standard deviation
		alkalinity:   priorAmount{0.75, 0.30},
		chloride:     priorAmount{22, 0.80},
		sodium:       priorAmount{0.95, 0.45},
		sulfate:      priorAmount{30, 0.80},
		nitrate:      priorAmount{6, 1.00},
		potassium:    priorAmount{2, 0.60},
		silica:       priorAmount{9, 0.60},

		alkalinityPerHardness: true,
		sodiumPerChloride:     true,
		phSpread:              0.30,
	},
	{
		share:        0.06,
		neutral:      131,
		hardness:     priorAmount{30, 1.80},
		calciumShare: priorAmount{3, 0.80},
		alkalinity:   priorAmount{40, 1.50},
		chloride:     priorAmount{15, 1.50},
		sodium:       priorAmount{20, 1.50},
		sulfate:      priorAmount{15, 1.50},
		nitrate:      priorAmount{3, 1.50},
		potassium:    priorAmount{1.5, 1.00},
		silica:       priorAmount{6, 1.00},
		phSpread:     0.60,
	},
	{
		share:        0.03,
		neutral:      1450,
		hardness:     priorAmount{3, 1.30},
		calciumShare: priorAmount{3, 0.80},
		alkalinity:   priorAmount{5, 1.20},
		chloride:     priorAmount{2, 1.20},
		sodium:       priorAmount{2.5, 1.20},
		sulfate:      priorAmount{1, 1.30},
		nitrate:      priorAmount{1.5, 1.20},
		potassium:    priorAmount{0.3, 1.00},
		silica:       priorAmount{0.5, 1.20},
		phSpread:     0.50,
	},
}

// The dimensions of an unknown water. All but the pH are logarithms: of
// mol/kg, eq/kg for alkalinity, or of a ratio.
const (
	latentHardness   = iota // calcium + magnesium
	latentCalcium           // calcium / magnesium
	latentAlkalinity        //
	latentChloride          //
	latentNitrate           //
	latentPotassium         //
	latentCloser            // the smaller of sodium and 2·sulfate, see totals
	latentSilica            //
	latentPH                // the pH itself
	latentCount
)

// latent is one unknown water in the dimensions above.
type latent [latentCount]float64

// unbalanced fills in everything but sodium and sulfate, and returns the
// charge the two have to close, eq/kg: positive when anions are missing.
func (z *latent) unbalanced(t *water.Totals) (excess float64) {
	hardness := math.Exp(z[latentHardness])
	t.Calcium = hardness / (1 + math.Exp(-z[latentCalcium]))
	t.Magnesium = hardness - t.Calcium
	t.Alkalinity = math.Exp(z[latentAlkalinity])
	t.Chloride = math.Exp(z[latentChloride])
	t.Nitrate = math.Exp(z[latentNitrate])
	t.Potassium = math.Exp(z[latentPotassium])
	t.Silica = math.Exp(z[latentSilica])
	return 2*hardness + t.Potassium - t.Alkalinity - t.Chloride - t.Nitrate
}

// totals is the water. When cations are ahead, sodium is free and sulfate
// makes up the balance; when anions are ahead it is the other way round.
// Either way the smaller of the two, in equivalents, is the free one.
func (z *latent) totals(t *water.Totals) (excess float64) {
	excess = z.unbalanced(t)
	small := math.Exp(z[latentCloser])
	if excess > 0 {
		t.Sodium, t.Sulfate = small, (small+excess)/2
	} else {
		t.Sodium, t.Sulfate = small-excess, small/2
	}
	return excess
}

// priorForm is a kind with its medians in the logarithms latent uses.
type priorForm struct {
	logShare float64             // of draws
	logPrior float64             // of draws once thinned to neutral ones, per density
	dims     [latentCount]normal // the closer unused; the means of alkalinity and pH may depend on others
	sodium   normal
	sulfate  normal // of 2·sulfate
	kind     priorKind
}

var priorForms = func() (forms [len(priorKinds)]priorForm) {
	logMol := func(a priorAmount, molarMass float64) float64 { return math.Log(a.median / (1000 * molarMass)) }
	for i, k := range priorKinds {
		f := priorForm{logShare: math.Log(k.share), logPrior: math.Log(k.share / k.neutral), kind: k}
		set := func(dim int, a priorAmount, mean float64) { f.dims[dim] = newNormal(mean, a.logSD) }
		set(latentHardness, k.hardness, logMol(k.hardness, water.MolarMassCalcite))
		set(latentCalcium, k.calciumShare, math.Log(k.calciumShare.median))
		if k.alkalinityPerHardness {
			// In mol of Ca + Mg, hardness is half as much as in equivalents.
			set(latentAlkalinity, k.alkalinity, math.Log(2*k.alkalinity.median))
		} else {
			set(latentAlkalinity, k.alkalinity, logMol(k.alkalinity, water.EquivalentMassCaCO3))
		}
		set(latentChloride, k.chloride, logMol(k.chloride, water.MolarMassChlorine))
		set(latentNitrate, k.nitrate, logMol(k.nitrate, water.MolarMassNitrate))
		set(latentPotassium, k.potassium, logMol(k.potassium, water.MolarMassPotassium))
		set(latentSilica, k.silica, logMol(k.silica, water.MolarMassSilica))
		f.dims[latentPH] = newNormal(0, k.phSpread)
		f.sodium = newNormal(logMol(k.sodium, water.MolarMassSodium), k.sodium.logSD)
		if k.sodiumPerChloride {
			f.sodium.mean = math.Log(k.sodium.median)
		}
		f.sulfate = newNormal(math.Ln2+logMol(k.sulfate, water.MolarMassSulfate), k.sulfate.logSD)
		forms[i] = f
	}
	return forms
}()

// alkalinity is the logarithm of alkalinity to be expected given the hardness.
func (f *priorForm) alkalinity(z *latent) normal {
	n := f.dims[latentAlkalinity]
	if f.kind.alkalinityPerHardness {
		n.mean += z[latentHardness]
	}
	return n
}

// sodiumGiven is the logarithm of sodium to be expected given the chloride.
func (f *priorForm) sodiumGiven(z *latent) normal {
	n := f.sodium
	if f.kind.sodiumPerChloride {
		n.mean += z[latentChloride]
	}
	return n
}

// What supplies aim at, and what CO2 lets them: assumptions.
const (
	priorSaturationIndex = 0.2  // of calcite at 15 °C: most supplies deposit a little rather than dissolve pipes
	priorLowestPH        = 7.2  // hard ground water
	priorHighestPH       = 8.0  // soft water after treatment
	priorLogPCO2         = -3.2 // atm; weakly buffered water cannot stay far from the CO2 it meets
)

// priorLog10 holds the constants priorPH needs at 15 °C.
var priorLog10 = func() (k struct{ hco3, co2, gas, calcite float64 }) {
	k.hco3, k.co2, k.gas = equilibrium.ReactionHCO3.Log10K(water.MainsCelsius), equilibrium.ReactionCO2.Log10K(water.MainsCelsius), equilibrium.ReactionCO2Gas.Log10K(water.MainsCelsius)
	k.calcite = equilibrium.Calcite.Log10K(water.MainsCelsius)
	return k
}()

// priorPH is the pH expected of a water at 15 °C: that of a small calcite
// saturation index, kept within the range of supplies and not above what the
// alkalinity can hold against a little CO2. Dilute: activity is Güntelberg's.
func priorPH(t *water.Totals) float64 {
	root := math.Sqrt(2*(t.Calcium+t.Magnesium) + t.Alkalinity)
	activity := 0.5 * root / (1 + root)
	logHCO3 := math.Log10(math.Max(t.Alkalinity, 1e-5)) - activity
	logCa := math.Log10(math.Max(t.Calcium, 1e-6)) - 4*activity
	ph := priorSaturationIndex + priorLog10.hco3 + priorLog10.calcite - logCa - logHCO3
	ph = math.Min(math.Max(ph, priorLowestPH), priorHighestPH)
	return math.Min(ph, priorLog10.co2-priorLog10.hco3-priorLog10.gas-priorLogPCO2+logHCO3)
}

// priorLogDensity is the logarithm of the prior density at z, of which t is
// the totals. Sodium and sulfate have a density each; neutrality cuts a curve
// through their plane, and the density along it, taken per unit of the free
// one's logarithm, is their product times the free amount.
func priorLogDensity(z *latent, t *water.Totals) float64 {
	ph := priorPH(t)
	logSodium, logSulfate := math.Log(t.Sodium), math.Log(2*t.Sulfate)
	// Of the two 1/x that turn densities of logarithms into densities of
	// amounts, the free one's cancels.
	jacobian := -math.Max(logSodium, logSulfate)
	var logs [len(priorForms)]float64
	for i := range priorForms {
		f := &priorForms[i]
		l := f.logPrior
		for _, dim := range [...]int{latentHardness, latentCalcium, latentChloride, latentNitrate, latentPotassium, latentSilica} {
			l += f.dims[dim].logDensity(z[dim])
		}
		l += f.alkalinity(z).logDensity(z[latentAlkalinity])
		l += f.dims[latentPH].moved(ph).logDensity(z[latentPH])
		l += f.sodiumGiven(z).logDensity(logSodium)
		l += f.sulfate.logDensity(logSulfate)
		logs[i] = l
	}
	return jacobian + logSum(logs[:])
}
