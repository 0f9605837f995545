package web

import (
	"strings"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/water"
)

// allMethods lists the ways to measure, the most usual at home first.
var allMethods = [...]water.Method{water.MethodDrop, water.MethodMeter, water.MethodStrip, water.MethodLaboratory}

// methodsOf lists the ways in which a quantity can be measured: those whose
// spread is known.
func methodsOf(q water.Quantity) []water.Method {
	var methods []water.Method
	for _, m := range allMethods {
		if _, err := m.Spread(q, 1); err == nil {
			methods = append(methods, m)
		}
	}
	return methods
}

func methodLabel(m water.Method) string {
	switch m {
	case water.MethodDrop:
		return wording.DropTest
	case water.MethodMeter:
		return wording.Meter
	case water.MethodStrip:
		return wording.TestStrip
	case water.MethodLaboratory:
		return wording.LaboratoryOrSuppliersReport
	}
	return string(m)
}

// testedBy says how something was measured, within a sentence.
func testedBy(m water.Method) string {
	switch m {
	case water.MethodDrop:
		return wording.ByDropTest
	case water.MethodMeter:
		return wording.ByMeter
	case water.MethodStrip:
		return wording.ByTestStrip
	case water.MethodLaboratory:
		return wording.ByLaboratory
	}
	return string(m)
}

func quantityLabel(q water.Quantity) string {
	switch q {
	case water.PH:
		return wording.PH
	case water.TDS:
		return wording.DissolvedSolids
	case water.Hardness:
		return wording.Hardness
	case water.Alkalinity:
		return wording.Alkalinity
	case water.Conductivity:
		return wording.ConductivityAt25Celsius
	}
	name := string(q)
	return strings.ToUpper(name[:1]) + name[1:]
}

func unitLabel(u water.Unit) string {
	switch u {
	case water.MgPerLCaCO3:
		return wording.MgPerLAsCaCO3
	case water.MgPerLHCO3:
		return wording.MgPerLAsHCO
	case water.MgPerLN:
		return wording.MgPerLAsN
	case water.GermanDegree:
		return wording.GermanDegrees
	case water.FrenchDegree:
		return wording.FrenchDegrees
	case water.ClarkDegree:
		return wording.ClarkDegrees
	case water.GrainPerGallon:
		return wording.GrainsPerUSGallonShort
	case water.PHUnit:
		return wording.OnThePHScale
	}
	return string(u)
}
