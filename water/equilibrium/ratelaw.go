package equilibrium

import (
	"math"

	"limekeep/water"
)

// The rate law of calcite holds where it was measured, 5 to 60 °C.
const (
	rateMinCelsius = 5
	rateMaxCelsius = 60
)

// CalciteRate returns the rate at which calcite dissolves into a solution, in
// mmol per cm² of crystal and second; negative is growth. The forward rate is
//
//	k1·a(H+) + k2·a(CO2) + k3·a(H2O)
//
// with log k1 = 0.198 - 444/T, log k2 = 2.84 - 2177/T and log k3 = -5.86 -
// 317/T up to 25 °C, -1.10 - 1737/T above, k1 and k2 in cm/s, k3 in
// mmol/cm²/s, activities in mmol/cm³: Plummer, Wigley and Parkhurst (1978),
// Am. J. Sci. 278, 179. The net rate is that times 1 - 10^(2/3·SI), the form
// Parkhurst and Appelo (1999), USGS Water-Resources Investigations 99-4259,
// give for the back reaction, which vanishes at saturation.
//
// It holds from 5 to 60 °C, where it was measured; beyond it is a *ValueError.
// At boiler temperature, and with the wall a boiler has for its water, it would
// finish in minutes, so nothing here is built on it.
func CalciteRate(s Solution) (mmolPerCm2S float64, err error) {
	k1, k2, k3, err := calciteRateConstants(s.Celsius)
	if err != nil {
		return math.NaN(), err
	}
	forward := k1*math.Pow(10, -s.PH) + k2*math.Pow(10, s.Log10CO2) + k3*s.WaterActivity
	return forward * (1 - math.Pow(10, s.SaturationIndex(Calcite)*2/3)), nil
}

// calciteRateConstants returns k1 and k2 in cm/s and k3 in mmol/cm²/s.
func calciteRateConstants(celsius float64) (k1, k2, k3 float64, err error) {
	if err := water.CheckRange("temperature for the rate law of calcite, °C", celsius, rateMinCelsius, rateMaxCelsius); err != nil {
		return 0, 0, 0, err
	}
	kelvin := celsius + water.KelvinAtZeroCelsius
	log3 := -5.86 - 317/kelvin
	if celsius > 25 {
		log3 = -1.10 - 1737/kelvin
	}
	return math.Pow(10, 0.198-444/kelvin), math.Pow(10, 2.84-2177/kelvin), math.Pow(10, log3), nil
}
