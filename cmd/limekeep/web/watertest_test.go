package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/water"
)

// measured fills in the form of a water test: pairs of input and value over a
// sound test of hardness and alkalinity.
func measured(pairs ...string) url.Values {
	form := url.Values{
		"date": {"2026-03-01"}, "spot": {"tap"},
		"value-1": {"17.5"}, "unit-1": {"dH"}, "method-1": {"drop"},
		"value-2": {"230"}, "unit-2": {"mg/L CaCO3"}, "method-2": {"strip"},
		"unit-3": {"pH"}, "method-3": {"meter"}, "unit-4": {"µS/cm"}, "method-4": {"meter"},
		"unit-5": {"mg/L"}, "method-5": {"laboratory"}, "unit-6": {"mg/L"}, "method-6": {"laboratory"},
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		form.Set(pairs[i], pairs[i+1])
	}
	return form
}

func TestWaterTestIsWrittenDown(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	answer, body := ask(t, h, post("/water", measured("spot", "tap/softener", "value-3", "7.4", "quantity-5", "chloride", "value-5", "21", "celsius", "12", "note", "after a week away")))
	last := records.Last()
	if want := fmt.Sprintf("/?written=%d", last.ID); answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != want {
		t.Fatalf("status %d to %q, not 303 to %q\n%s", answer.StatusCode, answer.Header.Get("Location"), want, body)
	}
	want := record.WaterTest{Line: "tap", After: "softener", Note: "after a week away", Test: water.Test{Celsius: 12, Values: []water.Measured{
		{Quantity: water.Hardness, Value: 17.5, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 230, Unit: water.MgPerLCaCO3, Method: water.MethodStrip},
		{Quantity: water.PH, Value: 7.4, Unit: water.PHUnit, Method: water.MethodMeter},
		{Quantity: water.Chloride, Value: 21, Unit: water.MgPerL, Method: water.MethodLaboratory},
	}}}
	if diff := cmp.Diff(record.Body(want), last.Body); diff != "" {
		t.Errorf("another test was written down:\n%s", diff)
	}
	if last.Effective != record.NewDate(2026, 3, 1) {
		t.Errorf("it is of %s", last.Effective)
	}
}

func TestWaterTestRefuses(t *testing.T) {
	desk, records := readKitchen(t)
	h := open(desk)
	kept := len(records.Of(record.KindWaterTest))
	for _, c := range []struct {
		name  string
		form  url.Values
		input string
		holds []string
	}{
		{"no value at all", url.Values{"date": {"2026-03-01"}, "spot": {"tap"}}, "", []string{"holds no values"}},
		{"no number", measured("value-1", "1,250"), "value-1", []string{`value="1,250"`, `value="230"`, `value="dH" selected`}},
		{"no number at all", measured("value-1", "NaN"), "value-1", nil},
		{"impossible value", measured("value-3", "74"), "value-3", []string{"decimal point", `value="74"`}},
		{"unit of another quantity", measured("unit-1", "pH"), "unit-1", []string{"cannot be stated"}},
		{"unknown unit", measured("unit-1", "stones"), "unit-1", []string{"not known"}},
		{"method that cannot", measured("value-4", "500", "method-4", "drop"), "method-4", nil},
		{"unknown method", measured("method-1", "guess"), "method-1", []string{"not known"}},
		{"value of nothing", measured("value-5", "20"), "quantity-5", []string{"choose what was measured"}},
		{"nothing of a quantity", measured("quantity-5", "chloride"), "value-5", []string{"give the value"}},
		{"unknown quantity", measured("quantity-5", "taste", "value-5", "1"), "quantity-5", []string{"not something a water test measures"}},
		{"twice", measured("quantity-5", "chloride", "value-5", "20", "quantity-6", "chloride", "value-6", "21"), "quantity-6", []string{"another row"}},
		{"boiling water", measured("celsius", "95"), "celsius", []string{`value="95"`}},
		{"tomorrow", measured("date", "2026-03-03"), "date", []string{"not after today", `value="2026-03-03"`, `value="17.5"`}},
		{"unknown line", measured("spot", "well"), "spot", []string{"not known"}},
		{"unknown stage", measured("spot", "tap/magnet"), "spot", []string{"not known"}},
		{"contradiction", measured("value-1", "2", "unit-1", "mg/L CaCO3", "method-1", "laboratory", "value-2", "5", "unit-2", "mg/L CaCO3", "method-2", "laboratory", "value-4", "5000", "method-4", "laboratory", "quantity-5", "tds", "value-5", "20"), "", []string{"no water has all these values"}},
		{"hostile", measured("value-1", `"><script>`, "note", "</textarea><script>"), "value-1", []string{"&#34;&gt;&lt;script&gt;", "&lt;/textarea&gt;"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			answer, body := ask(t, h, post("/water", c.form))
			if answer.StatusCode != http.StatusUnprocessableEntity {
				t.Fatalf("status %d, not 422", answer.StatusCode)
			}
			holds(t, body, "Nothing was written yet")
			holds(t, body, c.holds...)
			if c.input != "" {
				holds(t, body, fmt.Sprintf(`aria-describedby="%s-problem"`, c.input), fmt.Sprintf(`id="%s-problem"`, c.input))
			}
			if strings.Contains(withoutOwnScripts(body), "<script") {
				t.Error("what was typed became markup: the page has one script, its own")
			}
			if n := len(records.Of(record.KindWaterTest)); n != kept {
				t.Errorf("%d tests are kept, not %d", n, kept)
			}
		})
	}
}

func TestWaterFormKnowsTheLines(t *testing.T) {
	second := record.Equipment{ID: "can", Name: "Watering can", Bought: record.NewDate(2025, 1, 1), Line: &record.WaterLine{Supply: record.Tank}}
	desk, _ := kitchen(t, func(s *schedule.Setup) { s.Equipment = append(s.Equipment, second) })
	_, body := ask(t, open(desk), get("/water/new?line=tap"))
	holds(t, body,
		`<option value="can">Before any treatment (tank), Watering can</option>`,
		`<option value="tap" selected>Before any treatment (mains), Kitchen tap</option>`,
		`<option value="tap/softener">Behind the softener, Kitchen tap</option>`,
	)
}
