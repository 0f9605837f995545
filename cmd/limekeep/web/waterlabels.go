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

// methodWords are what a way to measure is called: by itself, and within a sentence that
// says how something was measured.
type methodWords struct{ label, by string }

func wordsOf(m water.Method) methodWords {
	switch m {
	case water.MethodDrop:
		return methodWords{wording.DropTest, wording.ByDropTest}
	case water.MethodMeter:
		return methodWords{wording.Meter, wording.ByMeter}
	case water.MethodStrip:
		return methodWords{wording.TestStrip, wording.ByTestStrip}
	case water.MethodLaboratory:
		return methodWords{wording.LaboratoryOrSuppliersReport, wording.ByLaboratory}
	}
	return methodWords{string(m), string(m)}
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
