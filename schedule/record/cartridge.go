package record

import (
	"limekeep/water"
	"limekeep/water/treatment"
)

// meqPerLitreOfGermanDegree: 1 °dH is 10 mg/L CaO, 0.35664 meq/L.
var meqPerLitreOfGermanDegree = 2 * 17.848 / water.MolarMassCalcite

// fillsOfSalt is how many times a softener that regenerates by itself does so out of
// one fill of salt. Assumption.
const fillsOfSalt = 6

// Cartridge states a treatment in the terms of the water it treats. The zero kind
// stands for one that is no cartridge, as a membrane.
func (t Treatment) Cartridge() treatment.Cartridge {
	kinds := map[TreatmentKind]treatment.CartridgeKind{
		Sediment: treatment.SedimentFilter, Carbon: treatment.CarbonFilter,
		Softener: treatment.Softener, Decarboniser: treatment.Decarboniser, Mixed: treatment.MixedExchanger,
	}
	litres := t.RatedLitres
	if t.Regenerated == ByItself {
		litres *= fillsOfSalt
	}
	return treatment.Cartridge{
		Kind: kinds[t.Kind], HydrogenShare: t.Hydrogen, BypassShare: t.BypassShare,
		RatedLitres: litres, RatedMeqPerLitre: t.RatedDegrees * meqPerLitreOfGermanDegree,
	}
}

// HydrogenShare is the share of an exchanger that is on hydrogen, 0 to 1.
func (t Treatment) HydrogenShare() float64 {
	switch t.Kind {
	case Decarboniser:
		return 1
	case Mixed:
		return t.Hydrogen
	}
	return 0
}
