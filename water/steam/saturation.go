package steam

import (
	"math"

	"limekeep/water"
)

// steamRegion4 holds the coefficients n1 to n10 of the saturation line:
// IAPWS R7-97(2012), Industrial Formulation 1997 for the Thermodynamic
// Properties of Water and Steam, table 34.
var steamRegion4 = [10]float64{
	0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2,
	0.12020824702470e5, -0.32325550322333e7, 0.14915108613530e2,
	-0.48232657361591e4, 0.40511340542057e6, -0.23855557567849,
	0.65017534844798e3,
}

// SaturationMPa returns the pressure of steam over boiling pure water in MPa
// absolute, kelvin between 273.15 and 647.096, by equation 30 of the IAPWS-IF97.
// Outside that range it means nothing.
func SaturationMPa(kelvin float64) float64 {
	n := &steamRegion4
	v := kelvin + n[8]/(kelvin-n[9])
	a := v*v + n[0]*v + n[1]
	b := n[2]*v*v + n[3]*v + n[4]
	c := n[5]*v*v + n[6]*v + n[7]
	p := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return p * p * p * p
}

// SaturationTemperature returns the boiling temperature of pure water in
// kelvin at an absolute pressure between 0.000611213 and 22.064 MPa, by
// equation 31 of the IAPWS-IF97. Outside that range it is a *ValueError.
func SaturationTemperature(megapascal float64) (kelvin float64, err error) {
	if err := water.CheckRange("pressure of saturation, MPa", megapascal, 0.000611213, 22.064); err != nil {
		return 0, err
	}
	n := &steamRegion4
	b := math.Sqrt(math.Sqrt(megapascal))
	e := b*b + n[2]*b + n[5]
	f := n[0]*b*b + n[3]*b + n[6]
	g := n[1]*b*b + n[4]*b + n[7]
	d := 2 * g / (-f - math.Sqrt(f*f-4*e*g))
	s := n[9] + d
	return (s - math.Sqrt(s*s-4*(n[8]+n[9]*d))) / 2, nil
}
