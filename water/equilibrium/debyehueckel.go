package equilibrium

import (
	"math"

	"limekeep/water"
	"limekeep/water/steam"
)

// dielectricConstant is the relative permittivity of water at kelvin and bar:
// Bradley and Pitzer (1979), J. Phys. Chem. 83, 1599, fitted to 350 °C.
func dielectricConstant(kelvin, bar float64) float64 {
	e1000 := 3.4279e2 * math.Exp(kelvin*(-5.0866e-3+9.4690e-7*kelvin))
	c := -2.0525 + 3.1159e3/(kelvin-1.8289e2)
	b := -8.0325e3 + 4.2142e6/kelvin + 2.1417*kelvin
	return e1000 + c*math.Log((b+bar)/(b+1000))
}

// densityKgPerLitre is the density of air-free water at one atmosphere: Kell
// (1975), J. Chem. Eng. Data 20, 97, stated to 150 °C. The few atmospheres of
// a boiler change it by 0.02 %.
func densityKgPerLitre(celsius float64) float64 {
	t := celsius
	num := 999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9-280.54253e-12*t))))
	return num / (1 + 16.879850e-3*t) / 1000
}

// debyeHueckel returns the slope A, kg^½ mol^-½ for log10, and the inverse
// length B, kg^½ mol^-½ Å^-1, at celsius from 0 to 140 and one atmosphere or
// the pressure of steam, whichever is more.
//
// A = e³·√(2000·N·ρ)/(8π·ln 10·(ε0·ε·k·T)^1.5) and B = √(2000·N·e²·ρ/(ε0·ε·k·T))
// with the CODATA constants come to the two figures below for T in kelvin and
// ρ in kg/L (Debye and Hückel 1923; Helgeson and Kirkham 1974, Am.
// J. Sci. 274, 1199).
func debyeHueckel(celsius float64) (a, b float64) {
	kelvin := celsius + water.KelvinAtZeroCelsius
	bar := math.Max(water.BarPerAtm, 10*steam.SaturationMPa(kelvin))
	et := dielectricConstant(kelvin, bar) * kelvin
	rho := densityKgPerLitre(celsius)
	return 1.8248292e6 * math.Sqrt(rho) / (et * math.Sqrt(et)), 50.291586 * math.Sqrt(rho/et)
}
