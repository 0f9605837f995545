package web

import (
	"math"
	"net/url"
	"strings"
	"testing"

	"limekeep/schedule/sample/bound"
	"limekeep/water"
)

// Whatever is typed as a number gives an ordinary number or a message.
func FuzzNumberIn(f *testing.F) {
	for _, seed := range []string{"", "12.5", " 7 ", "-3", "+.5", "1,5", "1e400", "NaN", "Inf", "0x1p4", "1_000", "٣", strings.Repeat("9", 400)} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		x, err := numberIn("grams", text)
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
		if point, perr := numberIn("grams", strings.Replace(text, ",", ".", 1)); err == nil && (perr != nil || point != x) {
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
		x, err := numberIn("grams", c.text)
		if (err == nil) != c.ok || x != c.want {
			t.Errorf("%q gives %v, %v", c.text, x, err)
		}
	}
}

// What a form gives as values has passed every check that a value alone can
// pass, and what it gives as problems has a name.
func FuzzReadWaterTest(f *testing.F) {
	for _, seed := range []string{
		"", "value-1=12&unit-1=dH&method-1=drop", "value-5=3&quantity-5=chloride&unit-5=mg/L&method-5=meter",
		"value-1=x", "value-5=3", "quantity-5=ph&value-5=7&unit-5=pH&method-5=strip&value-3=7&unit-3=pH&method-3=strip", "celsius=99&date=2026-02-30&spot=a/b/c",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, query string) {
		defer bound.Memory(t)()
		filled, err := url.ParseQuery(query)
		if err != nil {
			return
		}
		s := form{Fields: waterFields(nil, 0)}
		s.fill(filled)
		test, _ := readWaterTest(&s)
		wrong := s.Problems()
		if len(wrong) == 0 && len(test.Test.Values) > 0 {
			if err := test.Test.Validate(); err != nil {
				t.Errorf("%q: no problem was seen, but %v", query, err)
			}
		}
		for input, text := range wrong {
			if input == "" || text == "" {
				t.Errorf("%q: problem %q of input %q", query, text, input)
			}
		}
	})
}

// Every quantity that can be chosen can be stated in at least one unit offered
// and measured by at least one method offered.
func TestRowsOfferWhatIsNeeded(t *testing.T) {
	for _, row := range measuredRows() {
		s := form{Fields: []field{row.field()}}
		quantities := []water.Quantity{row.quantity(&s)}
		if row.free() {
			quantities = nil
			for _, c := range s.find(row.input("quantity")).Choices[1:] { // the first is none
				quantities = append(quantities, water.Quantity(c.Value))
			}
			if want := len(water.Quantities()) - len(fixedRows); len(quantities) != want {
				t.Errorf("row %d offers %d quantities, not %d", row, len(quantities), want)
			}
		}
		for _, q := range quantities {
			fits := 0
			for _, u := range s.find(row.input("unit")).Choices {
				for _, m := range s.find(row.input("method")).Choices {
					low, high := q.Plausible()
					value, err := q.In((low+high)/2, water.Unit(u.Value))
					if err != nil {
						continue
					}
					if (water.Measured{Quantity: q, Value: value, Unit: water.Unit(u.Value), Method: water.Method(m.Value)}).Validate() == nil {
						fits++
					}
				}
			}
			if fits == 0 {
				t.Errorf("row %d: %s fits no unit and method offered", row, q)
			}
		}
	}
}

func TestOnceTokensForgetTheOldest(t *testing.T) {
	tokens := newOnceTokens()
	writes := int64(0)
	use := func(token string) int64 {
		record, err := tokens.once(token, func() (int64, error) { writes++; return writes, nil })
		if err != nil {
			t.Fatal(err)
		}
		return record
	}
	first := tokens.draw()
	if a, b := use(first), use(first); a != b {
		t.Errorf("one token wrote records %d and %d", a, b)
	}
	if a, b := use(""), use(""); a == b {
		t.Error("forms without a token are taken as one")
	}
	for range mostTokens {
		use(tokens.draw())
	}
	before := writes
	if use(first); writes != before+1 {
		t.Error("a token is remembered for ever")
	}
	if len(tokens.taken) != mostTokens {
		t.Errorf("%d tokens are remembered, not %d", len(tokens.taken), mostTokens)
	}
}
