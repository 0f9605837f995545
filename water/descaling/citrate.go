package descaling

import "math"

// CitrateBath is citric acid with what it has dissolved, in mol and eq per
// litre. Base is what takes its protons: two for each mole of CaCO3, and the
// alkalinity of the water it was mixed with. Plans dose by citricFor; this is
// the published equilibrium that tests hold their baths to.
type CitrateBath struct {
	CalciumMolPerL float64
	CitrateMolPerL float64
	BaseEqPerL     float64
}

// The three protons of citric acid at 25 °C and no ionic strength: CRC
// Handbook of Chemistry and Physics.
const (
	citricPK1 = 3.13
	citricPK2 = 4.76
	citricPK3 = 6.40
	waterPK   = 14.0
)

// citrateSolubilityMolPerL is the tricalcium citrate tetrahydrate, 570.5 g/mol,
// that dissolves in water at 25 °C: 0.95 g/L (handbooks).
const citrateSolubilityMolPerL = 0.95 / 570.5

// citrateProduct is [Ca]³·[Cit3-]² in water with that much dissolved, in which
// nearly all citrate is Cit3-.
var citrateProduct = math.Pow(3*citrateSolubilityMolPerL, 3) * math.Pow(2*citrateSolubilityMolPerL, 2)

// citrateForms are the shares of H2Cit-, HCit-2 and Cit3- at a pH.
func citrateForms(ph float64) (one, two, three float64) {
	r1 := math.Pow(10, ph-citricPK1)
	r2 := r1 * math.Pow(10, ph-citricPK2)
	r3 := r2 * math.Pow(10, ph-citricPK3)
	sum := 1 + r1 + r2 + r3
	return r1 / sum, r2 / sum, r3 / sum
}

// citrateCharge is the mean charge of citrate at a pH, without its sign.
func citrateCharge(ph float64) float64 {
	one, two, three := citrateForms(ph)
	return one + 2*two + 3*three
}

// PH is the pH of the bath, by the balance of charge, concentrations standing
// for activities. Calcium bound by citrate and the ionic strength both make the
// real one a few tenths lower.
func (b CitrateBath) PH() float64 {
	low, high := 0.0, 14.0
	for range 60 {
		ph := (low + high) / 2
		charge := b.BaseEqPerL + math.Pow(10, -ph) - math.Pow(10, ph-waterPK)
		if charge > b.CitrateMolPerL*citrateCharge(ph) {
			low = ph
		} else {
			high = ph
		}
	}
	return (low + high) / 2
}

// Index is log10 of [Ca]³·[Cit3-]² over what its solubility in water comes to:
// above 0 the bath can lay down calcium citrate. Concentrations stand for
// activities on both sides; in the bath, which is the saltier, that makes the
// index too high, so it errs to the safe side.
func (b CitrateBath) Index() float64 {
	_, _, three := citrateForms(b.PH())
	return 3*math.Log10(b.CalciumMolPerL) + 2*math.Log10(b.CitrateMolPerL*three) - math.Log10(citrateProduct)
}

// citricFor is the citric acid in mol/L that keeps a bath at a pH or below when
// it has met so much base.
func citricFor(ph, baseEqPerL float64) float64 {
	return (baseEqPerL + math.Pow(10, -ph)) / citrateCharge(ph)
}
