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
	MinCelsius       = 0.0
	MaxCelsius       = 140.0
	MinPH            = 2.0
	MaxPH            = 12.5
	MaxTotalMol      = 1.0  // mol/kg of any one constituent
	MinAlkalinityMol = -0.1 // eq/kg; negative is free mineral acid
	MaxStrengthMol   = 1.0  // mol/kg if every ion were free
)

// Validate returns a *ValueError for the first number that no water the model
// covers can have: not a number, negative (alkalinity alone may be), beyond
// 1 mol/kg, a pH outside 2 to 12.5 or a temperature outside 0 to 140 °C.
func (a Analysis) Validate() error {
	if err := CheckRange("temperature of measurement, °C", a.MeasuredCelsius, MinCelsius, MaxCelsius); err != nil {
		return err
	}
	if err := CheckRange("pH", a.PH, MinPH, MaxPH); err != nil {
		return err
	}
	for _, c := range [...]struct {
		name      string
		value     float64
		molarMass float64 // g/mol, for alkalinity g/eq
		least     float64 // mol/kg
	}{
		{"calcium, mg/kg", a.CalciumMgPerKg, MolarMassCalcium, 0},
		{"magnesium, mg/kg", a.MagnesiumMgPerKg, MolarMassMagnesium, 0},
		{"sodium, mg/kg", a.SodiumMgPerKg, MolarMassSodium, 0},
		{"potassium, mg/kg", a.PotassiumMgPerKg, MolarMassPotassium, 0},
		{"alkalinity, mg/kg as CaCO3", a.AlkalinityMgPerKgCaCO3, EquivalentMassCaCO3, MinAlkalinityMol},
		{"chloride, mg/kg", a.ChlorideMgPerKg, MolarMassChlorine, 0},
		{"sulfate, mg/kg", a.SulfateMgPerKg, MolarMassSulfate, 0},
		{"nitrate, mg/kg", a.NitrateMgPerKg, MolarMassNitrate, 0},
		{"silica, mg/kg as SiO2", a.SilicaMgPerKg, MolarMassSilica, 0},
	} {
		scale := 1000 * c.molarMass
		if !(c.value >= c.least*scale && c.value <= MaxTotalMol*scale) {
			return CheckRange(c.name, c.value, c.least*scale, MaxTotalMol*scale)
		}
	}
	t := a.Totals()
	return t.ValidateSalts()
}

// Totals converts to mol/kg, without total carbon, which an analysis with pH
// and alkalinity leaves to be worked out.
func (a Analysis) Totals() Totals {
	return Totals{
		Calcium:    a.CalciumMgPerKg / (1000 * MolarMassCalcium),
		Magnesium:  a.MagnesiumMgPerKg / (1000 * MolarMassMagnesium),
		Sodium:     a.SodiumMgPerKg / (1000 * MolarMassSodium),
		Potassium:  a.PotassiumMgPerKg / (1000 * MolarMassPotassium),
		Alkalinity: a.AlkalinityMgPerKgCaCO3 / (1000 * EquivalentMassCaCO3),
		Chloride:   a.ChlorideMgPerKg / (1000 * MolarMassChlorine),
		Sulfate:    a.SulfateMgPerKg / (1000 * MolarMassSulfate),
		Nitrate:    a.NitrateMgPerKg / (1000 * MolarMassNitrate),
		Silica:     a.SilicaMgPerKg / (1000 * MolarMassSilica),
	}
}

// Analysis states totals as an analysis at a temperature and pH; total carbon
// is left out, as an analysis has none.
func (t Totals) Analysis(celsius, ph float64) Analysis {
	return Analysis{
		MeasuredCelsius:        celsius,
		PH:                     ph,
		CalciumMgPerKg:         1000 * MolarMassCalcium * t.Calcium,
		MagnesiumMgPerKg:       1000 * MolarMassMagnesium * t.Magnesium,
		SodiumMgPerKg:          1000 * MolarMassSodium * t.Sodium,
		PotassiumMgPerKg:       1000 * MolarMassPotassium * t.Potassium,
		AlkalinityMgPerKgCaCO3: 1000 * EquivalentMassCaCO3 * t.Alkalinity,
		ChlorideMgPerKg:        1000 * MolarMassChlorine * t.Chloride,
		SulfateMgPerKg:         1000 * MolarMassSulfate * t.Sulfate,
		NitrateMgPerKg:         1000 * MolarMassNitrate * t.Nitrate,
		SilicaMgPerKg:          1000 * MolarMassSilica * t.Silica,
	}
}
