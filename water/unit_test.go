package water

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Definitions as handbooks and standards give them, to the digits they give.
func TestHardnessUnits(t *testing.T) {
	for _, c := range []struct {
		from, to Unit
		want     float64
		within   float64
	}{
		{MmolPerL, MgPerLCaCO3, 100.09, 0.005},
		{MmolPerL, MeqPerL, 2, 0},
		{GermanDegree, MmolPerL, 0.17832, 0.00001},
		{GermanDegree, MgPerLCaCO3, 17.848, 0.0005},
		{FrenchDegree, MgPerLCaCO3, 10, 0},
		{ClarkDegree, MgPerLCaCO3, 14.254, 0.0005},
		{GrainPerGallon, MgPerLCaCO3, 17.118, 0.0005},
		{PPM, MgPerLCaCO3, 1, 0},
	} {
		got, err := convertHardness(1, c.from, c.to)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-c.want) > c.within {
			t.Errorf("1 %s = %.6g %s, want %g", c.from, got, c.to, c.want)
		}
	}
}

// convertHardness turns a hardness from one unit to another.
func convertHardness(value float64, from, to Unit) (float64, error) {
	canonical, err := Hardness.Canonical(value, from)
	if err != nil {
		return 0, err
	}
	return Hardness.In(canonical, to)
}

func TestHardnessUnitsRoundTrip(t *testing.T) {
	units := Hardness.Units()
	rapid.Check(t, func(t *rapid.T) {
		from, to := rapid.SampledFrom(units).Draw(t, "from"), rapid.SampledFrom(units).Draw(t, "to")
		value := rapid.Float64Range(0, 3000).Draw(t, "value")
		there, err := convertHardness(value, from, to)
		if err != nil {
			t.Fatal(err)
		}
		back, err := convertHardness(there, to, from)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(back-value) > 1e-12*value {
			t.Fatalf("%g %s came back from %s as %g", value, from, to, back)
		}
	})
}

func TestParseUnit(t *testing.T) {
	for want, spellings := range map[Unit][]string{
		MgPerLCaCO3:       {"mg/L CaCO3", "mg/l as CaCO3", "MG/L CACO3", "ppm CaCO3", "mg/L CaCO₃", " mg/litre CaCO3 "},
		MgPerLHCO3:        {"mg/L HCO3", "mg/l hco3-", "mg/L HCO₃⁻"},
		MgPerLN:           {"mg/L N", "mg/L NO3-N"},
		PPM:               {"ppm", "PPM"},
		GermanDegree:      {"°dH", "dH", "dh", "° d", "dGH", "dKH"},
		FrenchDegree:      {"°fH", "fH", "°f"},
		ClarkDegree:       {"e", "°e", "°Clark"},
		GrainPerGallon:    {"gpg", "grains/gallon", "gr/gal"},
		MmolPerL:          {"mmol/L", "mmol/kg"},
		MeqPerL:           {"meq/L", "mval/l"},
		MgPerL:            {"mg/L", "mg/l", "mg/L TDS", "mg/kg"},
		MicrosiemensPerCm: {"µS/cm", "μS/cm", "uS/cm", "us/CM"},
		MillisiemensPerCm: {"mS/cm", "ms/cm"},
		PHUnit:            {"pH", "ph", "PH"},
	} {
		for _, s := range spellings {
			if got, err := ParseUnit(s); err != nil || got != want {
				t.Errorf("ParseUnit(%q) = %q, %v; want %q", s, got, err, want)
			}
		}
	}
	for _, u := range Units() {
		if got, err := ParseUnit(string(u)); err != nil || got != u {
			t.Errorf("ParseUnit(%q) = %q, %v: a unit's own name must be read", u, got, err)
		}
	}
	_, err := ParseUnit("furlong")
	var unit *UnitError
	if !errors.As(err, &unit) || unit.Written != "furlong" || !strings.Contains(err.Error(), "dH, e, fH, gpg") {
		t.Errorf("unknown unit: %v", err)
	}
}

func FuzzParseUnit(f *testing.F) {
	for _, u := range Units() {
		f.Add(string(u))
	}
	f.Add("° as as µ")
	f.Fuzz(func(t *testing.T, s string) {
		u, err := ParseUnit(s)
		if err != nil {
			return
		}
		if again, err := ParseUnit(string(u)); err != nil || again != u {
			t.Errorf("%q was read as %q, which is read as %q, %v", s, u, again, err)
		}
	})
}
