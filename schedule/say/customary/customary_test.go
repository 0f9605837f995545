package customary_test

import (
	"testing"

	"limekeep/schedule/record"
	"limekeep/schedule/say/customary"
	"limekeep/water"
)

// °F are 1.8 °C + 32, a gallon 3.785412 L, a grain a US gallon 17.118 mg/L (NIST SP 811,
// B.8); a German degree is 17.848 mg/L as CaCO3 (DIN 38409-6: 10 mg of CaO a litre).
func TestTextInTheOwnersUnits(t *testing.T) {
	for _, c := range []struct {
		place      record.Place
		text, want string
	}{
		{record.Place{Units: record.USCustomary, HardnessUnit: water.GrainPerGallon}, "below 40 °C; 7.5 litres; 177 mg/L CaCO3 (113 to 765); the limit is 700 mg/L CaCO3", "below 104 °F; 2 gallons; 10.3 gpg (6.6 to 45 gpg); the limit is 41 gpg"},
		{record.Place{Units: record.USCustomary}, "the first half litre; 120 mg/L CaCO3; --celsius 91.5", "the first pint; 120 mg/L CaCO3; --celsius 91.5"},
		{record.Place{HardnessUnit: water.GermanDegree}, "40 °C; about 178.48 (89.24 to 267.72) mg/L as CaCO₃", "40 °C; about 10 dH (5 to 15 dH)"},
		{record.Place{HardnessUnit: water.GermanDegree}, "10 dH (178 mg/L as CaCO3), 3 mg/L", "10 dH (178 mg/L as CaCO3), 3 mg/L"},
		{record.Place{Units: record.USCustomary, HardnessUnit: water.FrenchDegree}, "1.5 / 2 / 3 K, 500 / 700 / 900 mg/L CaCO3, 3 / 4 bar", "2.7 / 4 / 5 °F, 50 / 70 / 90 fH, 3 / 4 bar"},
		{record.Place{HardnessUnit: water.MgPerLCaCO3}, "40 °C; 120 mg/L CaCO3", "40 °C; 120 mg/L CaCO3"},
		{record.Place{}, "40 °C; half a litre; 120 mg/L CaCO3", "40 °C; half a litre; 120 mg/L CaCO3"},
	} {
		to := customary.For(c.place)
		if got := to.Text(c.text); got != c.want {
			t.Errorf("%q\nis told as %q\nnot       %q", c.text, got, c.want)
		}
		if once := to.Text(c.text); to.Text(once) != once {
			t.Errorf("%q is turned twice into %q", once, to.Text(once))
		}
	}
}
