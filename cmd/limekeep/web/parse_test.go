package web

import (
	"net/url"
	"testing"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/schedule/sample/bound"
	"limekeep/water"
)

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
		s := form.Form{Fields: waterFields(nil, 0)}
		s.Fill(filled)
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
		s := form.Form{Fields: []form.Field{row.field()}}
		quantities := []water.Quantity{row.quantity(&s)}
		if row.free() {
			quantities = nil
			for _, c := range s.Find(row.input("quantity")).Choices[1:] { // the first is none
				quantities = append(quantities, water.Quantity(c.Value))
			}
			if want := len(water.Quantities()) - len(fixedRows); len(quantities) != want {
				t.Errorf("row %d offers %d quantities, not %d", row, len(quantities), want)
			}
		}
		for _, q := range quantities {
			fits := 0
			for _, u := range s.Find(row.input("unit")).Choices {
				for _, m := range s.Find(row.input("method")).Choices {
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
