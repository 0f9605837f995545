package water

// molesPerKgWater is the number of moles in a kilogram of water.
const molesPerKgWater = 55.506

// SteadyBoiler finds the steady state of a steam boiler fed with water of
// these totals and boiling at celsius, 100 to 140: per kilogram fed,
// 1/factor leaves as liquid and the rest as steam, factor 1 to 1000. Salts
// leave with the liquid alone. Carbon leaves with the liquid, as calcite and
// with the steam, whose share of CO2 by mole is its pressure over that of the
// steam:
//
//	C fed = C liquid/factor + calcite + (1 - 1/factor)·55.506·pCO2/P
//
// The pressure of CO2 is a result, Solution.Log10PCO2. Calcite and anhydrite
// form where supersaturated, brucite too if so set. Amounts are per kilogram
// fed, siOffset as in ClosedPrecipitation. Liquid and steam are taken to be at
// rest with each other, since boiling stirs them (assumption).
func (s *Solver) SteadyBoiler(t Totals, celsius, factor, siOffset float64, brucite bool) (Precipitation, error) {
	if err := checkRange("concentration factor", factor, 1, 1000); err != nil {
		return Precipitation{}, err
	}
	if err := checkRange("temperature of a steam boiler, °C", celsius, 100, maxCelsius); err != nil {
		return Precipitation{}, err
	}
	left := t.Times(factor)
	if err := checkPotential(&left, celsius, siOffset); err != nil {
		return Precipitation{}, err
	}
	atm := steamPressure(celsius+kelvinAtZeroCelsius) / megapascalPerAtm
	s.p = problem{
		name: "steady state of a steam boiler", celsius: celsius, totals: left,
		given: givenAlkalinityCarbon, siOffset: siOffset,
		// Per kilogram of liquid left, factor - 1 kilograms went as steam.
		headspace: (factor - 1) * molesPerKgWater / atm,
	}
	return s.settle(left, factor, brucite)
}
