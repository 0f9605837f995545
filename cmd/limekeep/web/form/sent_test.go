package form

import (
	"math"
	"strings"
	"testing"
)

// Whatever is typed as a number gives an ordinary number or a message.
func FuzzNumberIn(f *testing.F) {
	for _, seed := range []string{"", "12.5", " 7 ", "-3", "+.5", "1,5", "1e400", "NaN", "Inf", "0x1p4", "1_000", "٣", strings.Repeat("9", 400)} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		x, err := NumberIn("grams", text)
		if math.IsNaN(x) || math.IsInf(x, 0) {
			t.Errorf("%q gives %v", text, x)
		}
		if err != nil && x != 0 {
			t.Errorf("%q gives %v and an error", text, x)
		}
		if strings.ContainsAny(text, "eExX_") && err == nil {
			t.Errorf("%q is taken as %v", text, x)
		}
		// A comma means what a point does, or is refused.
		if point, perr := NumberIn("grams", strings.Replace(text, ",", ".", 1)); err == nil && (perr != nil || point != x) {
			t.Errorf("%q is %v, but %v with a point (%v)", text, x, point, perr)
		}
	})
}

// The keypad of a phone has a point or a comma, as the country has it. What
// could be either a fraction or thousands is refused.
func TestNumberInTakesCommas(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
		ok   bool
	}{
		{"91,5", 91.5, true}, {" 0,25 ", 0.25, true}, {"-3,5", -3.5, true}, {",5", 0.5, true}, {"12,", 12, true}, {"0,125", 0.125, true}, {"00,125", 0.125, true},
		{"10,4321", 10.4321, true}, {"1,250", 0, false}, {"10,432", 0, false}, {"-1,250", 0, false}, {"1,250.5", 0, false}, {"1.250,5", 0, false}, {"1,2,3", 0, false}, {",", 0, false},
	} {
		x, err := NumberIn("grams", c.text)
		if (err == nil) != c.ok || x != c.want {
			t.Errorf("%q gives %v, %v", c.text, x, err)
		}
	}
}
