package web

import (
	"strings"

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
		return "Drop test"
	case water.MethodMeter:
		return "Meter"
	case water.MethodStrip:
		return "Test strip"
	case water.MethodLaboratory:
		return "Laboratory or supplier’s report"
	}
	return string(m)
}

func quantityLabel(q water.Quantity) string {
	switch q {
	case water.PH:
		return "pH"
	case water.TDS:
		return "Dissolved solids"
	case water.Hardness:
		return "Hardness"
	case water.Alkalinity:
		return "Alkalinity (carbonate hardness)"
	case water.Conductivity:
		return "Conductivity at 25 °C"
	}
	name := string(q)
	return strings.ToUpper(name[:1]) + name[1:]
}

func unitLabel(u water.Unit) string {
	switch u {
	case water.MgPerLCaCO3:
		return "mg/L as CaCO₃"
	case water.MgPerLHCO3:
		return "mg/L as HCO₃"
	case water.MgPerLN:
		return "mg/L as N"
	case water.GermanDegree:
		return "°dH (German degrees)"
	case water.FrenchDegree:
		return "°fH (French degrees)"
	case water.ClarkDegree:
		return "°e (Clark degrees)"
	case water.GrainPerGallon:
		return "gpg (grains per US gallon)"
	case water.PHUnit:
		return "on the pH scale"
	}
	return string(u)
}
