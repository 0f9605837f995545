package water

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestParseQuantity(t *testing.T) {
	for s, want := range map[string]Quantity{
		"hardness": Hardness, "Total Hardness": Hardness, "GH": Hardness,
		"KH": Alkalinity, "carbonate hardness": Alkalinity, "free_chlorine": FreeChlorine, "free-chlorine": FreeChlorine,
		"sulphate": Sulfate, "EC": Conductivity, "Ca": Calcium, "pH": PH,
	} {
		if got, err := ParseQuantity(s); err != nil || got != want {
			t.Errorf("ParseQuantity(%q) = %q, %v; want %q", s, got, err, want)
		}
	}
	for _, q := range Quantities() {
		if got, err := ParseQuantity(string(q)); err != nil || got != q {
			t.Errorf("ParseQuantity(%q) = %q, %v", q, got, err)
		}
	}
	var unknown *QuantityError
	if _, err := ParseQuantity("mojo"); !errors.As(err, &unknown) || unknown.Written != "mojo" {
		t.Errorf("unknown quantity: %v", err)
	}
}

func TestQuantitiesAreSortedAndComplete(t *testing.T) {
	qs := Quantities()
	if !slices.IsSorted(qs) || len(qs) != 14 {
		t.Errorf("%d quantities, sorted %t: %v", len(qs), slices.IsSorted(qs), qs)
	}
	for _, q := range qs {
		low, high := q.Plausible()
		drinkLow, drinkHigh, source := q.Drinking()
		if !(low <= drinkLow && drinkLow < drinkHigh && drinkHigh <= high) || source == "" {
			t.Errorf("%s: plausible %g to %g, drinking %g to %g (%q)", q, low, high, drinkLow, drinkHigh, source)
		}
		if units := q.Units(); len(units) == 0 || units[0] != q.Unit() {
			t.Errorf("%s: units %v must begin with %s", q, units, q.Unit())
		}
	}
}

// Molar masses by hand from the IUPAC standard atomic weights.
func TestCanonical(t *testing.T) {
	for _, c := range []struct {
		quantity Quantity
		value    float64
		unit     Unit
		want     float64
	}{
		{Hardness, 1, MmolPerL, 100.086},
		{Hardness, 10, FrenchDegree, 100},
		{Calcium, 1, MmolPerL, 40.078},
		{Calcium, 2, MeqPerL, 40.078},
		{Calcium, 100.086, MgPerLCaCO3, 40.078},
		{Calcium, 56.077, MgPerL, 56.077},
		{Magnesium, 1, MmolPerL, 24.305},
		{Alkalinity, 1, MmolPerL, 50.043}, // one mmol of HCO3-, half of one of CaCO3
		{Alkalinity, 1, MeqPerL, 50.043},
		{Alkalinity, 61.016, MgPerLHCO3, 50.043},
		{Conductivity, 0.6, MillisiemensPerCm, 600},
		{Sulfate, 1, MeqPerL, 48.028},
		{Chloride, 1, MmolPerL, 35.45},
		{Nitrate, 14.007, MgPerLN, 62.004},
		{Silica, 1, MmolPerL, 60.083},
		{TDS, 300, PPM, 300},
		{PH, 7.2, PHUnit, 7.2},
	} {
		got, err := c.quantity.Canonical(c.value, c.unit)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-c.want) > 1e-5*c.want {
			t.Errorf("%s %g %s = %g %s, want %g", c.quantity, c.value, c.unit, got, c.quantity.Unit(), c.want)
		}
	}
	var unit *UnitError
	if _, err := Hardness.Canonical(1, MgPerL); !errors.As(err, &unit) || unit.For != Hardness {
		t.Errorf("hardness in mg/L of nothing in particular: %v", err)
	}
	var quantity *QuantityError
	if _, err := Quantity("mojo").In(1, MgPerL); !errors.As(err, &quantity) {
		t.Errorf("unknown quantity: %v", err)
	}
}

func TestQuantityUnitsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := rapid.SampledFrom(Quantities()).Draw(t, "quantity")
		unit := rapid.SampledFrom(q.Units()).Draw(t, "unit")
		value := rapid.Float64Range(0, 1e4).Draw(t, "value")
		canonical, err := q.Canonical(value, unit)
		if err != nil {
			t.Fatal(err)
		}
		back, err := q.In(canonical, unit)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(back-value) > 1e-12*value {
			t.Fatalf("%s %g %s came back as %g", q, value, unit, back)
		}
	})
}
