package main

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/advice"
	"limekeep/water"
)

func TestParseSource(t *testing.T) {
	got, err := parseSource("hardness=14 dH ± 0,5, alkalinity = 11 dH,ph=7,2 by meter", water.MethodDrop)
	if err != nil {
		t.Fatal(err)
	}
	want := []water.Measured{
		{Quantity: water.Hardness, Value: 14, Unit: water.GermanDegree, Method: water.MethodDrop, Spread: 0.5},
		{Quantity: water.Alkalinity, Value: 11, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.PH, Value: 7.2, Unit: water.PHUnit, Method: water.MethodMeter},
	}
	if diff := cmp.Diff(want, got.Values); diff != "" {
		t.Error(diff)
	}
}

// Whatever is written as a source gives a test that passes every check, or an
// error.
func FuzzParseSource(f *testing.F) {
	for _, seed := range []string{"", "hardness=14 dH,alkalinity=11 dH", "ph=7,2", "ph=7,2,hardness=3 fH", "=,=", ",", "hardness", "hardness=NaN dH", "tds=1e9 mg/L", "hardness=1 dH,hardness=2 dH"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		test, err := parseSource(text, water.MethodDrop)
		if err != nil {
			return
		}
		if len(test.Values) == 0 {
			t.Errorf("%q gives no values and no error", text)
		}
		if err := test.Validate(); err != nil {
			t.Errorf("%q gives a test that is refused: %v", text, err)
		}
	})
}

// A limit by the calendar alone is one figure, and is told as one.
func TestIntervalText(t *testing.T) {
	n := func(days int) *int { return &days }
	for _, c := range []struct {
		interval advice.Interval
		want     string
	}{
		{advice.Interval{Early: n(366), Likely: n(366), Late: n(366)}, "366"},
		{advice.Interval{Early: n(87), Likely: n(238), Late: n(967)}, "238 (87 to 967)"},
		{advice.Interval{Early: n(87), Likely: n(238)}, "238 (87 to > 5 years)"},
		{advice.Interval{}, "> 5 years"},
	} {
		if got := intervalText(c.interval); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
