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
		if got := SaturationMPa(c.kelvin); !(math.Abs(got/c.megapascal-1) <= 1e-8) {
			t.Errorf("%g K: %.9g MPa, want %.9g", c.kelvin, got, c.megapascal)
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
		back, err := SaturationTemperature(SaturationMPa(kelvin))
		if err != nil || math.Abs(back-kelvin) > 1e-6 {
			t.Errorf("%g K comes back as %.9g K, %v", kelvin, back, err)
		}
	}
}

func TestSaturationLineRefuses(t *testing.T) {
	var v *water.ValueError
	for _, megapascal := range []float64{math.NaN(), 0, -1, 23} {
		if _, err := SaturationTemperature(megapascal); !errors.As(err, &v) {
			t.Errorf("%g MPa: %v, want a ValueError", megapascal, err)
		}
	}
}
