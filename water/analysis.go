package water

// Analysis is a full water analysis as a laboratory reports it. Totals are in
// milligrams per kilogram of water and count every form the element takes in
// solution, pairs included. pH and temperature are those of the measurement;
// alkalinity is titrated to the carbonic acid end point and stated as CaCO3.
type Analysis struct {
	MeasuredCelsius float64 // 0 to 140 °C
	PH              float64 // at MeasuredCelsius

	CalciumMgPerKg         float64
	MagnesiumMgPerKg       float64
	SodiumMgPerKg          float64
	PotassiumMgPerKg       float64
	AlkalinityMgPerKgCaCO3 float64
	ChlorideMgPerKg        float64
	SulfateMgPerKg         float64
	NitrateMgPerKg         float64
	SilicaMgPerKg          float64 // as SiO2
}

// Limits of what Validate lets through. They are the reach of the model, not
// of good drinking water: an activity model of this kind is trusted to about
// 0.5 mol/kg of ionic strength and refused beyond twice that (assumption).
const (
	minCelsius       = 0.0
	maxCelsius       = 140.0
	minPH            = 2.0
	maxPH            = 12.5
	maxTotalMol      = 1.0  // mol/kg of any one constituent
	minAlkalinityMol = -0.1 // eq/kg; negative is free mineral acid
	maxStrengthMol   = 1.0  // mol/kg if every ion were free
)

// Validate returns a *ValueError for the first number that no water the model
// covers can have: not a number, negative (alkalinity alone may be), beyond
// 1 mol/kg, a pH outside 2 to 12.5 or a temperature outside 0 to 140 °C.
func (a Analysis) Validate() error {
	if err := checkRange("temperature of measurement, °C", a.MeasuredCelsius, minCelsius, maxCelsius); err != nil {
		return err
	}
	if err := checkRange("pH", a.PH, minPH, maxPH); err != nil {
		return err
	}
	for _, c := range [...]struct {
		name      string
		value     float64
		molarMass float64 // g/mol, for alkalinity g/eq
		least     float64 // mol/kg
	}{
		{"calcium, mg/kg", a.CalciumMgPerKg, molarMassCalcium, 0},
		{"magnesium, mg/kg", a.MagnesiumMgPerKg, molarMassMagnesium, 0},
		{"sodium, mg/kg", a.SodiumMgPerKg, molarMassSodium, 0},
		{"potassium, mg/kg", a.PotassiumMgPerKg, molarMassPotassium, 0},
		{"alkalinity, mg/kg as CaCO3", a.AlkalinityMgPerKgCaCO3, equivalentMassCaCO3, minAlkalinityMol},
		{"chloride, mg/kg", a.ChlorideMgPerKg, molarMassChlorine, 0},
		{"sulfate, mg/kg", a.SulfateMgPerKg, molarMassSulfate, 0},
		{"nitrate, mg/kg", a.NitrateMgPerKg, molarMassNitrate, 0},
		{"silica, mg/kg as SiO2", a.SilicaMgPerKg, molarMassSilica, 0},
	} {
		scale := 1000 * c.molarMass
		if !(c.value >= c.least*scale && c.value <= maxTotalMol*scale) {
			return checkRange(c.name, c.value, c.least*scale, maxTotalMol*scale)
		}
	}
	t := a.totals()
	return t.validate()
}

// totals converts to mol/kg, without total carbon, which an analysis with pH
// and alkalinity leaves to be worked out.
func (a Analysis) totals() Totals {
	return Totals{
		Calcium:    a.CalciumMgPerKg / (1000 * molarMassCalcium),
		Magnesium:  a.MagnesiumMgPerKg / (1000 * molarMassMagnesium),
		Sodium:     a.SodiumMgPerKg / (1000 * molarMassSodium),
		Potassium:  a.PotassiumMgPerKg / (1000 * molarMassPotassium),
		Alkalinity: a.AlkalinityMgPerKgCaCO3 / (1000 * equivalentMassCaCO3),
		Chloride:   a.ChlorideMgPerKg / (1000 * molarMassChlorine),
		Sulfate:    a.SulfateMgPerKg / (1000 * molarMassSulfate),
		Nitrate:    a.NitrateMgPerKg / (1000 * molarMassNitrate),
		Silica:     a.SilicaMgPerKg / (1000 * molarMassSilica),
	}
}

// Analysis states totals as an analysis at a temperature and pH; total carbon
// is left out, as an analysis has none.
func (t Totals) Analysis(celsius, ph float64) Analysis {
	return Analysis{
		MeasuredCelsius:        celsius,
		PH:                     ph,
		CalciumMgPerKg:         1000 * molarMassCalcium * t.Calcium,
		MagnesiumMgPerKg:       1000 * molarMassMagnesium * t.Magnesium,
		SodiumMgPerKg:          1000 * molarMassSodium * t.Sodium,
		PotassiumMgPerKg:       1000 * molarMassPotassium * t.Potassium,
		AlkalinityMgPerKgCaCO3: 1000 * equivalentMassCaCO3 * t.Alkalinity,
		ChlorideMgPerKg:        1000 * molarMassChlorine * t.Chloride,
		SulfateMgPerKg:         1000 * molarMassSulfate * t.Sulfate,
		NitrateMgPerKg:         1000 * molarMassNitrate * t.Nitrate,
		SilicaMgPerKg:          1000 * molarMassSilica * t.Silica,
	}
}
