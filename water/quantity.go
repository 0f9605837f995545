package water

import (
	"fmt"
	"sort"
	"strings"
)

// Quantity is something a water test measures.
type Quantity string

// The quantities a test may hold.
const (
	Hardness     Quantity = "hardness"      // calcium and magnesium together
	Calcium      Quantity = "calcium"       // calcium alone
	Magnesium    Quantity = "magnesium"     // magnesium alone
	Alkalinity   Quantity = "alkalinity"    // acid capacity, "carbonate hardness" on many kits
	PH           Quantity = "ph"            // at the temperature of the test
	Conductivity Quantity = "conductivity"  // compensated to 25 °C
	TDS          Quantity = "tds"           // total dissolved solids, dry residue
	Sodium       Quantity = "sodium"        //
	Potassium    Quantity = "potassium"     //
	Chloride     Quantity = "chloride"      //
	Sulfate      Quantity = "sulfate"       //
	Nitrate      Quantity = "nitrate"       // as NO3
	Silica       Quantity = "silica"        // as SiO2
	FreeChlorine Quantity = "free chlorine" // disinfectant, as Cl2
)

// quantityFacts is what is known of a quantity. Numbers are in canonical.
type quantityFacts struct {
	canonical Unit
	factors   map[Unit]float64 // canonical per one of the unit
	low, high float64          // outside: no water a person could feed a machine
	drinkLow  float64          // below or above: worth a remark for drinking water
	drinkHigh float64
	why       string // where drinkLow and drinkHigh come from
}

// quantityEU is named beside each figure that comes from it.
const quantityEU = "Directive (EU) 2020/2184, Annex I"

// The outer bounds (low, high) are assumptions: a factor of several beyond
// anything a public supply delivers.
var quantityTable = map[Quantity]quantityFacts{
	Hardness: {MgPerLCaCO3, unitHardness, 0, 2000, 0, 500,
		"above about 500 mg/L CaCO3 water is found objectionable (WHO guidelines for drinking-water quality, taste, from memory)"},
	Calcium:    {MgPerL, quantityHardnessIon(MolarMassCalcium), 0, 800, 0, 200, "assumption, half as hard again as the hardest public supplies"},
	Magnesium:  {MgPerL, quantityHardnessIon(MolarMassMagnesium), 0, 400, 0, 100, "assumption, well above public supplies"},
	Alkalinity: {MgPerLCaCO3, quantityAlkalinityFactors(), 0, 2000, 0, 500, "assumption, well above public supplies"},
	PH:         {PHUnit, map[Unit]float64{PHUnit: 1}, 3, 12, 6.5, 9.5, quantityEU},
	// 2,500 µS/cm in the directive is at 20 °C; about 1.9 % per °C more at 25.
	Conductivity: {MicrosiemensPerCm, map[Unit]float64{MicrosiemensPerCm: 1, MillisiemensPerCm: 1000}, 0, 20000, 0, 2790, quantityEU},
	TDS: {MgPerL, map[Unit]float64{MgPerL: 1, PPM: 1}, 0, 15000, 0, 1000,
		"above about 1,000 mg/L water becomes unpalatable (WHO guidelines for drinking-water quality, from memory)"},
	Sodium:       {MgPerL, quantityIonFactors(MolarMassSodium, 1), 0, 3000, 0, 200, quantityEU},
	Potassium:    {MgPerL, quantityIonFactors(MolarMassPotassium, 1), 0, 500, 0, 20, "assumption, well above public supplies"},
	Chloride:     {MgPerL, quantityIonFactors(MolarMassChlorine, 1), 0, 5000, 0, 250, quantityEU},
	Sulfate:      {MgPerL, quantityIonFactors(MolarMassSulfate, 2), 0, 2500, 0, 250, quantityEU},
	Nitrate:      {MgPerL, quantityNitrateFactors(), 0, 1000, 0, 50, quantityEU},
	Silica:       {MgPerL, quantityIonFactors(MolarMassSilica, 0), 0, 300, 0, 60, "assumption, well above public supplies"},
	FreeChlorine: {MgPerL, map[Unit]float64{MgPerL: 1, PPM: 1}, 0, 20, 0, 5, "health-based guideline value of the WHO, 5 mg/L, from memory"},
}

// quantitySpellings maps other names to quantities; a quantity's own name
// needs no entry.
var quantitySpellings = map[string]Quantity{
	"total hardness": Hardness, "general hardness": Hardness, "gh": Hardness, "th": Hardness,
	"carbonate hardness": Alkalinity, "kh": Alkalinity, "total alkalinity": Alkalinity, "ta": Alkalinity, "bicarbonate": Alkalinity, "hydrogencarbonate": Alkalinity,
	"ca": Calcium, "calcium hardness": Calcium, "mg": Magnesium, "magnesium hardness": Magnesium,
	"ec": Conductivity, "total dissolved solids": TDS, "dry residue": TDS,
	"na": Sodium, "k": Potassium, "cl": Chloride, "so4": Sulfate, "sulphate": Sulfate, "no3": Nitrate, "sio2": Silica,
	"free cl2": FreeChlorine, "chlorine": FreeChlorine,
}

// QuantityError says that a name is no quantity a water test can hold.
type QuantityError struct {
	Written string
}

// Error names what was written and lists what is known.
func (e *QuantityError) Error() string {
	var names []string
	for _, q := range Quantities() {
		names = append(names, string(q))
	}
	return fmt.Sprintf("%q is not something a water test measures: use one of %s", e.Written, strings.Join(names, ", "))
}

// Quantities lists every quantity, sorted by name.
func Quantities() []Quantity {
	var qs []Quantity
	for q := range quantityTable {
		qs = append(qs, q)
	}
	sort.Slice(qs, func(i, j int) bool { return qs[i] < qs[j] })
	return qs
}

// ParseQuantity reads the name of a quantity; case, underscores and hyphens
// do not matter, and common other names are known. The error is a
// *QuantityError.
func ParseQuantity(s string) (Quantity, error) {
	name := strings.Join(strings.Fields(strings.NewReplacer("_", " ", "-", " ").Replace(strings.ToLower(s))), " ")
	if _, ok := quantityTable[Quantity(name)]; ok {
		return Quantity(name), nil
	}
	if q, ok := quantitySpellings[name]; ok {
		return q, nil
	}
	return "", &QuantityError{Written: s}
}

// Unit is the quantity's canonical unit, "" for an unknown quantity.
func (q Quantity) Unit() Unit { return quantityTable[q].canonical }

// Units lists the units the quantity may be stated in, canonical first, then
// by name.
func (q Quantity) Units() []Unit {
	facts := quantityTable[q]
	var units []Unit
	for u := range facts.factors {
		if u != facts.canonical {
			units = append(units, u)
		}
	}
	sort.Slice(units, func(i, j int) bool { return units[i] < units[j] })
	if facts.canonical == "" {
		return units
	}
	return append([]Unit{facts.canonical}, units...)
}

// Canonical turns a value into the quantity's canonical unit. A litre of
// water is taken to weigh a kilogram: at 15 °C that is right to 0.1 %. The
// error is a *QuantityError or a *UnitError.
func (q Quantity) Canonical(value float64, unit Unit) (float64, error) {
	factor, err := q.factor(unit)
	if err != nil {
		return 0, err
	}
	return value * factor, nil
}

// In turns a value in the quantity's canonical unit into another unit. The
// error is a *QuantityError or a *UnitError.
func (q Quantity) In(canonical float64, unit Unit) (float64, error) {
	factor, err := q.factor(unit)
	if err != nil {
		return 0, err
	}
	return canonical / factor, nil
}

// Convert turns a value from one unit of the quantity into another. The error is a
// *QuantityError or a *UnitError.
func (q Quantity) Convert(value float64, from, to Unit) (float64, error) {
	canonical, err := q.Canonical(value, from)
	if err != nil {
		return 0, err
	}
	return q.In(canonical, to)
}

// Plausible is the range, in the canonical unit, outside of which no water a
// person could feed a machine lies. Both are 0 for an unknown quantity.
func (q Quantity) Plausible() (low, high float64) {
	return quantityTable[q].low, quantityTable[q].high
}

// Drinking is the range, in the canonical unit, in which drinking water is
// unremarkable, and where that range comes from.
func (q Quantity) Drinking() (low, high float64, source string) {
	facts := quantityTable[q]
	return facts.drinkLow, facts.drinkHigh, facts.why
}

// factor is how many of the canonical unit one of unit is.
func (q Quantity) factor(unit Unit) (float64, error) {
	facts, ok := quantityTable[q]
	if !ok {
		return 0, &QuantityError{Written: string(q)}
	}
	factor, ok := facts.factors[unit]
	if !ok {
		return 0, &UnitError{Written: string(unit), For: q, Known: q.Units()}
	}
	return factor, nil
}

// quantityIonFactors is for an ion, or a neutral when charge is 0, stated in
// mg/L of itself.
func quantityIonFactors(gramPerMol, charge float64) map[Unit]float64 {
	factors := map[Unit]float64{MgPerL: 1, PPM: 1, MmolPerL: gramPerMol}
	if charge > 0 {
		factors[MeqPerL] = gramPerMol / charge
	}
	return factors
}

// quantityHardnessIon is for calcium and magnesium, which are also stated in
// every unit of hardness.
func quantityHardnessIon(gramPerMol float64) map[Unit]float64 {
	factors := map[Unit]float64{}
	for u, caco3 := range unitHardness {
		factors[u] = caco3 * gramPerMol / MolarMassCalcite
	}
	// Without "as CaCO3" beside it, ppm of calcium is calcium.
	factors[MgPerL], factors[PPM] = 1, 1
	return factors
}

// quantityAlkalinityFactors differs from hardness in mmol/L: one mmol of
// alkalinity is one of HCO3-, half a mmol of CaCO3.
func quantityAlkalinityFactors() map[Unit]float64 {
	factors := map[Unit]float64{}
	for u, caco3 := range unitHardness {
		factors[u] = caco3
	}
	factors[MmolPerL] = EquivalentMassCaCO3
	factors[MgPerLHCO3] = EquivalentMassCaCO3 / unitMolarMassHCO3
	return factors
}

// quantityNitrateFactors adds nitrogen to the units of an ion.
func quantityNitrateFactors() map[Unit]float64 {
	factors := quantityIonFactors(MolarMassNitrate, 1)
	factors[MgPerLN] = MolarMassNitrate / MolarMassNitrogen
	return factors
}
