package water

import (
	"fmt"
	"sort"
	"strings"
)

// Unit is a unit a water value is written in. Some units say what is counted
// ("mg/L CaCO3"), some do not ("mmol/L"): what the latter mean depends on the
// quantity, and Quantity.Canonical knows.
type Unit string

// The units people write. Hardness and alkalinity have many names for the
// same thing; ions come in mg/L.
const (
	MgPerLCaCO3       Unit = "mg/L CaCO3" // hardness or alkalinity stated as calcium carbonate
	MgPerLHCO3        Unit = "mg/L HCO3"  // alkalinity stated as hydrogencarbonate
	MgPerLN           Unit = "mg/L N"     // nitrate stated as nitrogen
	PPM               Unit = "ppm"        // mg/L, as CaCO3 where hardness or alkalinity is meant
	GermanDegree      Unit = "dH"         // 10 mg/L CaO
	FrenchDegree      Unit = "fH"         // 10 mg/L CaCO3
	ClarkDegree       Unit = "e"          // 1 grain of CaCO3 per imperial gallon
	GrainPerGallon    Unit = "gpg"        // 1 grain of CaCO3 per US gallon
	MmolPerL          Unit = "mmol/L"     // of Ca + Mg, of HCO3- for alkalinity, else of the ion itself
	MeqPerL           Unit = "meq/L"      // milliequivalents of charge
	MgPerL            Unit = "mg/L"       // of the ion itself, of dissolved solids, of SiO2, of Cl2
	MicrosiemensPerCm Unit = "µS/cm"      // conductivity, compensated to 25 °C
	MillisiemensPerCm Unit = "mS/cm"      // conductivity, compensated to 25 °C
	PHUnit            Unit = "pH"         // the pH scale
)

const (
	unitMolarMassCaO  = MolarMassCalcium + MolarMassOxygen
	unitMolarMassHCO3 = MolarMassHydrogen + MolarMassCarbon + 3*MolarMassOxygen
)

// LitresPerUSGallon is the US gallon of 231 cubic inches, exact by definition. Source: NIST
// Special Publication 811 (2008), appendix B.8.
const LitresPerUSGallon = 3.785411784

// Exact by definition: the grain (64.79891 mg) and the imperial gallon (4.54609 L), from the
// international agreement of 1959 and the UK Weights and Measures Act 1985.
const (
	unitMgPerGrain             = 64.79891
	unitLitresPerImpGallon     = 4.54609
	unitMgCaOPerLPerGermanDeg  = 10.0
	unitMgCaCO3PerLPerFrenchDg = 10.0
)

// unitHardness holds how many mg/L CaCO3 one of each hardness unit is.
var unitHardness = map[Unit]float64{
	MgPerLCaCO3:    1,
	PPM:            1,
	GermanDegree:   unitMgCaOPerLPerGermanDeg * MolarMassCalcite / unitMolarMassCaO,
	FrenchDegree:   unitMgCaCO3PerLPerFrenchDg,
	ClarkDegree:    unitMgPerGrain / unitLitresPerImpGallon,
	GrainPerGallon: unitMgPerGrain / LitresPerUSGallon,
	MmolPerL:       MolarMassCalcite,
	MeqPerL:        EquivalentMassCaCO3,
}

// unitSpellings maps a squeezed spelling (lower case, no blanks, no degree
// signs, micro as u) to its unit.
var unitSpellings = map[string]Unit{
	"mg/lcaco3": MgPerLCaCO3, "mg/kgcaco3": MgPerLCaCO3, "ppmcaco3": MgPerLCaCO3, "mgcaco3/l": MgPerLCaCO3,
	"mg/lhco3": MgPerLHCO3, "mg/lhco3-": MgPerLHCO3, "mg/kghco3": MgPerLHCO3, "mghco3/l": MgPerLHCO3, "ppmhco3": MgPerLHCO3,
	"mg/ln": MgPerLN, "mg/lno3-n": MgPerLN, "ppmn": MgPerLN, "mgn/l": MgPerLN,
	"ppm": PPM, "ppmtds": PPM,
	"dh": GermanDegree, "d": GermanDegree, "dgh": GermanDegree, "dkh": GermanDegree, "gh": GermanDegree, "kh": GermanDegree,
	"fh": FrenchDegree, "f": FrenchDegree, "tf": FrenchDegree, "tfh": FrenchDegree,
	"e": ClarkDegree, "eh": ClarkDegree, "clark": ClarkDegree,
	"gpg": GrainPerGallon, "grain/gal": GrainPerGallon, "grains/gal": GrainPerGallon, "gr/gal": GrainPerGallon,
	"mmol/l": MmolPerL, "mmol/kg": MmolPerL, "mm": MmolPerL,
	"meq/l": MeqPerL, "meq/kg": MeqPerL, "mval/l": MeqPerL,
	"mg/l": MgPerL, "mg/kg": MgPerL, "mg/ltds": MgPerL,
	"us/cm": MicrosiemensPerCm, "us": MicrosiemensPerCm, "microsiemens/cm": MicrosiemensPerCm,
	"ms/cm": MillisiemensPerCm, "ms": MillisiemensPerCm, "millisiemens/cm": MillisiemensPerCm,
	"ph": PHUnit,
}

// UnitError says that a unit is not known, or not one the quantity is stated
// in. Known lists what would have been right.
type UnitError struct {
	Written string
	For     Quantity // empty when no quantity was in question
	Known   []Unit
}

// Error names the unit and lists the right ones.
func (e *UnitError) Error() string {
	names := make([]string, len(e.Known))
	for i, u := range e.Known {
		names[i] = string(u)
	}
	known := strings.Join(names, ", ")
	if e.For != "" {
		return fmt.Sprintf("%s cannot be stated in %q: use one of %s", e.For, e.Written, known)
	}
	return fmt.Sprintf("unit %q is not known: use one of %s", e.Written, known)
}

// Units lists every unit, sorted by name.
func Units() []Unit {
	units := []Unit{
		MgPerLCaCO3, MgPerLHCO3, MgPerLN, PPM, GermanDegree, FrenchDegree, ClarkDegree, GrainPerGallon,
		MmolPerL, MeqPerL, MgPerL, MicrosiemensPerCm, MillisiemensPerCm, PHUnit,
	}
	sort.Slice(units, func(i, j int) bool { return units[i] < units[j] })
	return units
}

// ParseUnit reads a unit in any of its usual spellings: case, blanks, degree
// signs and "as" do not matter. The error is a *UnitError listing what is
// known.
func ParseUnit(s string) (Unit, error) {
	squeezed := unitSqueeze(s)
	if u, ok := unitSpellings[squeezed]; ok {
		return u, nil
	}
	return "", &UnitError{Written: s, Known: Units()}
}

// unitSqueeze reduces a spelling to the key used in unitSpellings.
func unitSqueeze(s string) string {
	s = strings.ToLower(strings.TrimSpace(s))
	// Both code points that look like a small mu stand for micro, and
	// subscript three is how CaCO3 is often typeset.
	s = strings.NewReplacer("µ", "u", "μ", "u", "°", "", "º", "", "₃", "3", "⁻", "-", "degrees", "", "degree", "", "deg", "", "*", "").Replace(s)
	fields := strings.Fields(s)
	kept := fields[:0]
	for _, f := range fields {
		if f != "as" {
			kept = append(kept, f)
		}
	}
	s = strings.Join(kept, "")
	return strings.NewReplacer("litre", "l", "liter", "l", "gallon", "gal").Replace(s)
}

// Of temperature and pressure, by definition.
const (
	KelvinAtZeroCelsius = 273.15
	MegapascalPerAtm    = 0.101325
	BarPerAtm           = 1.01325
)
