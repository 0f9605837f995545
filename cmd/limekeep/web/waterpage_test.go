package web_test

import (
	"math"
	"net/http"
	"net/url"
	"testing"

	"limekeep/schedule/record"
	"limekeep/water"
)

func TestWaterPage(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	_, body := ask(t, h, get("/water"))
	holds(t, body, "Kitchen tap", "The water before treatment", "Where the hardness of the next litre goes", "held back by the treatment",
		"Hardness as tested", "left of it", `href="/water/new?line=tap"`, `href="/tasks/tap/cartridge/softener"`)
	if answer, _ := ask(t, h, get("/water?line=none")); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a line that is not there: status %d", answer.StatusCode)
	}
}

// A test is entered as it was made. Drops and ranges by hand: 7 drops of 2 °dH are
// 14 °dH; a pad between 120 and 250 mg/L stands for 185 with a spread of 130/√12.
func TestEnteredAsMade(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	answer, body := ask(t, h, post("/water", url.Values{
		"date": {"2026-02-01"}, "spot": {"tap"},
		"value-1": {"7"}, "unit-1": {"dH"}, "method-1": {"drop"}, "drop-1": {"2"},
		"value-2": {"120"}, "to-2": {"250"}, "unit-2": {"mg/L CaCO3"}, "method-2": {"strip"},
		"value-7": {"70,5"}, "unit-7": {"mg/L"}, "method-7": {"laboratory"},
	}))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("status %d\n%s", answer.StatusCode, body)
	}
	var got record.WaterTest
	for _, e := range records.Of(record.KindWaterTest) {
		got = e.Body.(record.WaterTest)
	}
	want := map[water.Quantity][3]float64{water.Hardness: {14, 2, 0}, water.Alkalinity: {185, 0, 130 / math.Sqrt(12)}, water.Calcium: {70.5, 0, 0}}
	if len(got.Test.Values) != len(want) {
		t.Fatalf("%d values were kept: %+v", len(got.Test.Values), got.Test.Values)
	}
	for _, v := range got.Test.Values {
		if w := want[v.Quantity]; math.Abs(v.Value-w[0]) > 1e-9 || v.DropSize != w[1] || math.Abs(v.Spread-w[2]) > 1e-9 {
			t.Errorf("%s was kept as %+v, want %v", v.Quantity, v, w)
		}
	}
}

func TestEnteredWrongly(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	for name, form := range map[string]url.Values{
		"a range that ends below":      {"value-1": {"20"}, "to-1": {"10"}, "unit-1": {"dH"}, "method-1": {"strip"}},
		"a drop of another method":     {"value-1": {"7"}, "drop-1": {"2"}, "unit-1": {"dH"}, "method-1": {"meter"}},
		"a drop that is worth nothing": {"value-1": {"7"}, "drop-1": {"0"}, "unit-1": {"dH"}, "method-1": {"drop"}},
		"drops and a range":            {"value-1": {"7"}, "drop-1": {"1"}, "to-1": {"9"}, "unit-1": {"dH"}, "method-1": {"drop"}},
	} {
		form.Set("date", "2026-02-01")
		form.Set("spot", "tap")
		if answer, body := ask(t, h, post("/water", form)); answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d\n%s", name, answer.StatusCode, body)
		}
	}
}
