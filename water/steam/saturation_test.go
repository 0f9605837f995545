package steam

import (
	"errors"
	"math"
	"testing"

	"limekeep/water"
)

// Check values of IAPWS R7-97(2012), tables 35 and 36.
func TestSaturationLine(t *testing.T) {
	for _, c := range []struct{ kelvin, megapascal float64 }{
		{300, 0.353658941e-2}, {500, 0.263889776e1}, {600, 0.123443146e2},
	} {
		got, err := SaturationPressure(c.kelvin)
		if err != nil || math.Abs(got/c.megapascal-1) > 1e-8 {
			t.Errorf("%g K: %.9g MPa, %v, want %.9g", c.kelvin, got, err, c.megapascal)
		}
	}
	for _, c := range []struct{ megapascal, kelvin float64 }{
		{0.1, 0.372755919e3}, {1, 0.453035632e3}, {10, 0.584149488e3},
	} {
		got, err := SaturationTemperature(c.megapascal)
		if err != nil || math.Abs(got/c.kelvin-1) > 1e-8 {
			t.Errorf("%g MPa: %.9g K, %v, want %.9g", c.megapascal, got, err, c.kelvin)
		}
	}
	for kelvin := 274.0; kelvin < 647; kelvin += 7 {
		p, err := SaturationPressure(kelvin)
		if err != nil {
			t.Fatal(err)
		}
		back, err := SaturationTemperature(p)
		if err != nil || math.Abs(back-kelvin) > 1e-6 {
			t.Errorf("%g K comes back as %.9g K, %v", kelvin, back, err)
		}
	}
}

func TestSaturationLineRefuses(t *testing.T) {
	var v *water.ValueError
	for _, kelvin := range []float64{math.NaN(), 273, 648, math.Inf(1)} {
		if _, err := SaturationPressure(kelvin); !errors.As(err, &v) {
			t.Errorf("%g K: %v, want a ValueError", kelvin, err)
		}
	}
	for _, megapascal := range []float64{math.NaN(), 0, -1, 23} {
		if _, err := SaturationTemperature(megapascal); !errors.As(err, &v) {
			t.Errorf("%g MPa: %v, want a ValueError", megapascal, err)
		}
	}
}
