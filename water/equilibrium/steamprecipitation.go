package equilibrium

import (
	"limekeep/water"
	"limekeep/water/steam"
)

// MolesPerKgWater is the number of moles in a kilogram of water.
const MolesPerKgWater = 55.506

// SteamPrecipitation finds what is left of water of these totals when it is
// boiled down to 1/factor of its mass at celsius, 100 to 140, and CO2 leaves
// with steamKg kilograms of steam for each kilogram left, in the share by mole
// that its pressure has of the steam's. Salts stay. Carbon is in the liquid, in
// calcite and in the steam:
//
//	C fed = C liquid/factor + calcite + steamKg/factor·55.506·pCO2/P
//
// The pressure of CO2 is a result, Solution.Log10PCO2. Calcite and anhydrite
// form where supersaturated, brucite too if so set. Amounts are per kilogram of
// the water fed. The factor is 0.01 to 1000, steamKg from 0, siOffset as in
// ClosedPrecipitation. Liquid and steam are taken to be at rest with each
// other, since boiling stirs them (assumption).
func (s *Solver) SteamPrecipitation(t water.Totals, celsius, factor, steamKg, siOffset float64, brucite bool) (Precipitation, error) {
	return s.SteamPrecipitationFrom(Likely(calciteAlone), t, celsius, factor, steamKg, siOffset, brucite)
}

// SteamPrecipitationFrom is SteamPrecipitation where it is known which solids are likely
// there, or where else the search may begin, as in much the same water: the answer is the
// same, and is found the sooner.
func (s *Solver) SteamPrecipitationFrom(from Start, t water.Totals, celsius, factor, steamKg, siOffset float64, brucite bool) (Precipitation, error) {
	if err := water.CheckRange("concentration factor", factor, 0.01, 1000); err != nil {
		return Precipitation{}, err
	}
	if err := water.CheckRange("temperature of a steam boiler, °C", celsius, 100, water.MaxCelsius); err != nil {
		return Precipitation{}, err
	}
	if err := water.CheckRange("steam for each kilogram left, kg", steamKg, 0, 1e9); err != nil {
		return Precipitation{}, err
	}
	left := t.Times(factor)
	if err := CheckPotential(&left, celsius, siOffset); err != nil {
		return Precipitation{}, err
	}
	atm := steam.SaturationMPa(celsius+water.KelvinAtZeroCelsius) / water.MegapascalPerAtm
	asked := problem{
		name: "precipitation under steam", celsius: celsius, totals: left,
		given: givenAlkalinityCarbon, siOffset: siOffset,
		headspace: steamKg * MolesPerKgWater / atm, from: from,
	}
	s.p = asked
	found, err := s.findSolids(left, factor, brucite, from.solids)
	if err != nil && from.solids != calciteAlone { // solids that are far from there at all
		s.p = asked
		found, err = s.findSolids(left, factor, brucite, calciteAlone)
	}
	return found, err
}
