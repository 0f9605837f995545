package figure_test

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"limekeep/water/figure"
)

func TestRead(t *testing.T) {
	for text, want := range map[string]float64{
		"12": 12, "12.5": 12.5, "91,5": 91.5, " 0,25 ": 0.25, "-3,5": -3.5, "+3": 3, "−3.5": -3.5, ".5": 0.5, ",5": 0.5, "5.": 5, "12,": 12,
		"0,125": 0.125, "00,125": 0.125, "-0,125": -0.125, "10,4321": 10.4321, "1,25": 1.25, "1.250": 1.25, "10.432": 10.432,
		"1234": 1234, "\u00a07,5": 7.5, "12345678901234567890": 12345678901234567890, "0.1": 0.1, "123456789.123456": 123456789.123456,
	} {
		if x, err := figure.Read(text); err != nil || x != want {
			t.Errorf("%q gives %v, %v; want %v", text, x, err, want)
		}
	}
	if x, err := figure.Read("-0"); err != nil || math.Signbit(x) {
		t.Errorf("-0 gives %v, %v: a zero has no sign", x, err)
	}
}

func TestReadSaysWhatIsWrong(t *testing.T) {
	for text, why := range map[string]string{
		"1,234":   "may be thousands or a fraction: write 1234 or 1.234",
		"1,250":   "may be thousands or a fraction: write 1250 or 1.25",
		"-10,000": "may be thousands or a fraction: write -10000 or -10.0",
		"1,250.5": "without marks between thousands",
		"1.250,5": "without marks between thousands",
		"1,2,3":   "without marks between thousands",
		"1e3":     "without an exponent",
		"2.5E-3":  "without an exponent",
		"":        "",
		"  ":      "",
		",":       "",
		"twelve":  "",
		"18 g":    "",
		"0x10":    "",
		"inf":     "",
		"NaN":     "",
		"1_000":   "",
		"1 000":   "",
		"٣":       "",
		"+-1":     "",
		"1-":      "",
		"1ee3":    "",

		strings.Repeat("9", 400): "it is too large a number",
	} {
		x, err := figure.Read(text)
		var wrong *figure.ReadError
		if !errors.As(err, &wrong) || x != 0 || wrong.Text != text || !strings.Contains(wrong.Why, why) || (wrong.Why == "") != (why == "") {
			t.Errorf("%q gives %v, %v; want %q", text, x, err, why)
		}
	}
}

// What a file's other numbers look like settles what a person has to be asked.
func TestReadOfAFile(t *testing.T) {
	for _, c := range []struct {
		mark figure.Mark
		text string
		want float64
		why  string
	}{
		{figure.Comma, "1,250", 1.25, ""},
		{figure.Comma, "-18,5", -18.5, ""},
		{figure.Comma, "12", 12, ""},
		{figure.Comma, "1,2E+03", 1200, ""},
		{figure.Comma, "1.250", 0, "have a decimal comma, and this one may be thousands or a fraction: write 1250 or 1.25"},
		{figure.Comma, "1.25", 0, "have a decimal comma"},
		{figure.Point, "1.250", 1.25, ""},
		{figure.Point, "1e2", 100, ""},
		{figure.Point, "1,250", 0, "have a decimal point, and this one may be thousands or a fraction: write 1250 or 1.25"},
		{figure.Point, "1,25", 0, "have a decimal point"},
		{figure.Either, "1e2", 100, ""},
		{figure.Either, "1,5e2", 150, ""},
		{figure.Either, "1,250", 0, "may be thousands"},
		{figure.Either, "1e999", 0, "too large"},
		{figure.Either, "1e", 0, "is no number"},
		{figure.Either, "1e2.5", 0, "is no number"},
	} {
		x, err := c.mark.Read(c.text)
		if x != c.want || (err == nil) != (c.why == "") || err != nil && !strings.Contains(err.Error(), c.why) {
			t.Errorf("%q among %q: %v, %v; want %v, %q", c.text, c.mark, x, err, c.want, c.why)
		}
		if y, yerr := c.mark.ReadBytes([]byte(c.text)); y != x || (yerr == nil) != (err == nil) {
			t.Errorf("%q as bytes: %v, %v; as text %v, %v", c.text, y, yerr, x, err)
		}
	}
}

func TestOf(t *testing.T) {
	for text, want := range map[string]figure.Mark{
		"18,5": figure.Comma, "18.5": figure.Point, "18": figure.Either, "1,250": figure.Either, "1.250": figure.Either, "0,125": figure.Comma,
		"1.234,5": figure.Comma, "1,234.5": figure.Point, "1.234.567,8": figure.Comma, "1,234,567": figure.Either, "1,2,3.4.5": figure.Either,
		"2026-03-02": figure.Either, "7.30 Uhr": figure.Either, "": figure.Either, "12,3456": figure.Comma,
	} {
		if got := figure.Of(text); got != want {
			t.Errorf("%q shows %q, not %q", text, got, want)
		}
	}
}

// Whatever is read is an ordinary number, the same at every door, and the one
// that strconv reads.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{"", "12.5", " 7 ", "-3", "+.5", "1,5", "1,250", "1.250", "1e3", "1e400", "NaN", "Inf", "0x1p4", "1_000", "٣", "−2", "−1e3", "−0000E0", "1.234,5", "00,125", strings.Repeat("9", 400)} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		x, err := figure.Read(text)
		if math.IsNaN(x) || math.IsInf(x, 0) || err != nil && x != 0 {
			t.Errorf("%q gives %v, %v", text, x, err)
		}
		for _, mark := range []figure.Mark{figure.Either, figure.Point, figure.Comma} {
			y, yerr := mark.Read(text)
			z, zerr := mark.ReadBytes([]byte(text))
			if y != z || (yerr == nil) != (zerr == nil) {
				t.Errorf("%q among %q: %v, %v as text and %v, %v as bytes", text, mark, y, yerr, z, zerr)
			}
			if err == nil && yerr == nil && x != y {
				t.Errorf("%q is %v, but %v among %q", text, x, y, mark)
			}
		}
		if err != nil {
			return
		}
		if strings.ContainsAny(text, "eExX_") {
			t.Errorf("%q is taken as %v", text, x)
		}
		// A comma means what a point does, or is refused.
		plain := strings.Replace(strings.Replace(strings.TrimSpace(text), ",", ".", 1), "−", "-", 1)
		if want, perr := strconv.ParseFloat(plain, 64); perr != nil || want != x {
			t.Errorf("%q is %v, but %q is %v (%v)", text, x, plain, want, perr)
		}
	})
}

func BenchmarkReadBytes(b *testing.B) {
	cell := []byte("18.25")
	for b.Loop() {
		if _, err := figure.Point.ReadBytes(cell); err != nil {
			b.Fatal(err)
		}
	}
}
