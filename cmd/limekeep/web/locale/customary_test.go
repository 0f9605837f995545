package locale

import (
	"testing"

	"limekeep/schedule/say/customary"
)

// Figures by NIST Special Publication 811 (2008), appendix B.8: a US gallon is
// 3.785412 L, a fluid ounce 29.57353 mL, °F are 1.8 °C + 32.
func TestPagesAreToldInCustomaryMeasures(t *testing.T) {
	us := Reader{Order: DayFirst, Units: customary.Units{US: true}, names: english}
	for page, want := range map[string]string{
		"water at 93 °C":   "water at 199 °F",
		"is 40 °C or less": "is 104 °F or less",
		"“as at 95 °C”":    "“as at 203 °F”",
		"reads 0 °C":       "reads 32 °F",
		"from 21.5 °C":     "from 70.7 °F",
		"60 to 140 °C":     "140 to 284 °F",
		"93.33 °C":         "200 °F",
		"about 12.8 °C hotter (4.5 to 35 °C hotter)":                "about 23 °F hotter (8.1 to 63 °F hotter)",
		"about 12.8 °C hotter (4.5 to 35)":                          "about 23 °F hotter (8.1 to 63 °F hotter)",
		"usually 2 K (1.5 to 3)":                                    "usually 4 °F (2.7 to 5 °F)",
		"mg of lime at 93 °C (83 to 120)":                           "mg of lime at 199 °F (83 to 120)",
		`<th data-in="K">Moved by, K</th><td data-in="K">−1.5</td>`: `<th data-in="K">Moved by, °F</th><td data-in="K">−2.7</td>`,
		"by 2 K a month":                                            "by 4 °F a month",
		"drain 1000 litres":                                         "drain 264 gallons",
		"3.4 litres a week":                                         "3.6 quarts a week",
		"0.6 litres of water each":                                  "20 fl oz of water each",
		"0.2 litres (0.05 to 0.3 litres)":                           "6.8 fl oz (1.69 to 10.1 fl oz)",
		"200 mL of it":                                              "6.76 fl oz of it",
		"at least half a litre of water":                            "at least a pint of water",
		"the first half litre, the first litre":                     "the first pint, the first quart",
		"flush two litres":                                          "flush two quarts",
		"20 mg of lime a litre, 5 g per litre":                      "20 mg of lime a litre, 5 g per litre",
		"250 mg/L, 9 bar, 5 litresome, 3 Kelvins":                   "250 mg/L, 9 bar, 5 litresome, 3 Kelvins",
		"Fri 27 Nov 2026, 3.5 mm":                                   "Fri 27 Nov 2026, 3.5 mm",
		`<i translate="no">5 litres at 90 °C</i>`:                   `<i translate="no">5 litres at 90 °C</i>`,
		`<th data-in="litres">Litres</th><td data-in="litres">18.9 <span>15.1 to 22.7</span></td><td>18.9</td>`: `<th data-in="litres">Gallons</th><td data-in="litres">4.99 <span>3.99 to 6</span></td><td>18.9</td>`,
	} {
		if got := string(us.Rewrite([]byte(page))); got != want {
			t.Errorf("%s\nis told as %s\nnot       %s", page, got, want)
		}
		metric := us
		metric.Units.US = false
		if got := string(metric.Rewrite([]byte(page))); got != page {
			t.Errorf("in litres and °C %s is told as %s", page, got)
		}
	}
	us.Comma = true
	if got := string(us.Rewrite([]byte("21.5 °C, 3.4 litres"))); got != "70,7 °F, 3,6 quarts" {
		t.Errorf("with a comma: %s", got)
	}
}
