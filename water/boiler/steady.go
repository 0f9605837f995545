package boiler

import (
	"limekeep/water"
	"limekeep/water/equilibrium"
)

// Steady finds the steady state of a steam boiler fed with water of
// these totals and boiling at celsius, 100 to 140: per kilogram fed,
// 1/factor leaves as liquid and the rest as steam, factor 1 to 1000. Salts
// leave with the liquid alone, carbon with the liquid, as calcite and with the
// steam: see Solver.SteamPrecipitation. Amounts are per kilogram fed, siOffset
// as there.
func Steady(s *equilibrium.Solver, t water.Totals, celsius, factor, siOffset float64, brucite bool) (equilibrium.Precipitation, error) {
	if err := water.CheckRange("concentration factor", factor, 1, 1000); err != nil {
		return equilibrium.Precipitation{}, err
	}
	// Per kilogram of liquid left, factor - 1 kilograms went as steam.
	return s.SteamPrecipitation(t, celsius, factor, factor-1, siOffset, brucite)
}
