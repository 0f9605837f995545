package equilibrium

import (
	"math"

	"limekeep/water"
)

// Precipitation is what leaves a kilogram of water as solid, and the water
// that is left. Amounts are per kilogram of the water taken in, also where
// some of it leaves as steam; negative calcite would dissolve.
type Precipitation struct {
	CalciteMmolPerKg   float64
	AnhydriteMmolPerKg float64
	BruciteMmolPerKg   float64
	Solution           Solution // at rest with the solids that formed
}

// ClosedPrecipitation finds how much calcite must leave water of these totals
// at celsius, 0 to 140, to reach saturation with no gas exchanged: the calcite
// precipitation potential. It is negative where calcite would dissolve.
// siOffset is added to the saturation index of calcite, in decimal logarithm:
// 0.1 means calcite forms 0.1 earlier than the constants say; 0 takes them as
// they are.
func (s *Solver) ClosedPrecipitation(t water.Totals, celsius, siOffset float64) (Precipitation, error) {
	if err := s.closed(Start{}, &t, celsius, siOffset); err != nil {
		return Precipitation{}, err
	}
	return s.precipitation(t, 1), nil
}

// ClosedPotential is the calcite of ClosedPrecipitation alone, mmol/kg, searched for from
// a start.
func (s *Solver) ClosedPotential(from Start, t water.Totals, celsius, siOffset float64) (mmolPerKg float64, err error) {
	if err := s.closed(from, &t, celsius, siOffset); err != nil {
		return 0, err
	}
	return (t.Calcium - s.bal.calcium) * 1000, nil
}

func (s *Solver) closed(from Start, t *water.Totals, celsius, siOffset float64) error {
	if err := CheckPotential(t, celsius, siOffset); err != nil {
		return err
	}
	s.p = problem{name: "closed precipitation of calcite", celsius: celsius, totals: *t, given: givenAlkalinityCarbon, calcite: true, siOffset: siOffset, from: from}
	return s.solve()
}

// OpenPrecipitation is ClosedPrecipitation with the pressure of CO2 held at
// 10^log10PCO2 atm, from -12 to 1; the total carbon given does not matter.
func (s *Solver) OpenPrecipitation(t water.Totals, celsius, log10PCO2, siOffset float64) (Precipitation, error) {
	if err := CheckPotential(&t, celsius, siOffset); err != nil {
		return Precipitation{}, err
	}
	if err := checkGas(log10PCO2); err != nil {
		return Precipitation{}, err
	}
	s.p = problem{name: "open precipitation of calcite", celsius: celsius, totals: t, given: givenAlkalinityGas, log10PCO2: log10PCO2, calcite: true, siOffset: siOffset}
	if err := s.solve(); err != nil {
		return Precipitation{}, err
	}
	return s.precipitation(t, 1), nil
}

// CheckPotential checks what every search with calcite needs.
func CheckPotential(t *water.Totals, celsius, siOffset float64) error {
	if err := checkProblem(t, celsius); err != nil {
		return err
	}
	return water.CheckRange("offset of the saturation index of calcite", siOffset, -3, 3)
}

// checkGas checks a pressure of CO2.
func checkGas(log10PCO2 float64) error {
	return water.CheckRange("log10 of the pressure of CO2, atm", log10PCO2, -12, 1)
}

// precipitation reads the answer off the workspace. t is what went in per
// kilogram of the water that is left, and feed how many kilograms were taken
// in for each kilogram left.
func (s *Solver) precipitation(t water.Totals, feed float64) Precipitation {
	var calcite, anhydrite, brucite float64 // mol per kg of water left
	if s.p.anhydrite {
		anhydrite = t.Sulfate - s.bal.sulfate
	}
	if s.p.calcite {
		calcite = t.Calcium - s.bal.calcium - anhydrite
	}
	if s.p.brucite {
		brucite = t.Magnesium - s.bal.magnesium
	}
	left := t
	left.Calcium = math.Max(t.Calcium-calcite-anhydrite, 0)
	left.Sulfate = math.Max(t.Sulfate-anhydrite, 0)
	left.Magnesium = math.Max(t.Magnesium-brucite, 0)
	left.Alkalinity -= 2 * (calcite + brucite)
	left.Carbon = s.bal.carbon
	scale := 1000 / feed
	return Precipitation{
		CalciteMmolPerKg:   calcite * scale,
		AnhydriteMmolPerKg: anhydrite * scale,
		BruciteMmolPerKg:   brucite * scale,
		Solution:           s.solution(left),
	}
}

// CarbonUnderGas finds the total inorganic carbon, mol/kg, of water of these
// totals at rest with a gas of 10^log10PCO2 atm of CO2 at celsius, 0 to 140;
// nothing forms or dissolves, and the carbon given does not matter.
func (s *Solver) CarbonUnderGas(t water.Totals, celsius, log10PCO2 float64) (float64, error) {
	if err := checkProblem(&t, celsius); err != nil {
		return 0, err
	}
	if err := checkGas(log10PCO2); err != nil {
		return 0, err
	}
	s.p = problem{name: "water at rest with a gas", celsius: celsius, totals: t, given: givenAlkalinityGas, log10PCO2: log10PCO2}
	if err := s.solve(); err != nil {
		return 0, err
	}
	return s.bal.carbon, nil
}
