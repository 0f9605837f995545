package web_test

import (
	"html"
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/water"
)

// Metric measures as somebody reads them: a figure with its unit, or a label that ends with
// it. What others were typed in, and figures by the litre, are no measure of the page's own.
var (
	unread     = regexp.MustCompile(`(?s)<(script|style|template|datalist)\b.*?</(script|style|template|datalist)>|<select.*?</select>|<[a-z]+[^>]* translate="no"[^>]*>.*?</`)
	tags       = regexp.MustCompile(`(?s)<[^>]*>`)
	metricOnes = regexp.MustCompile(`.{0,20}\d ?°C|\d (litres?|L|mL|K)\b|(half a|first|two) litre|, (litres|°C|°dH)(\s|$)`)
)

func metricLeft(body string) []string {
	text := html.UnescapeString(tags.ReplaceAllString(unread.ReplaceAllString(body, "<"), "\n"))
	// A figure and its unit may stand in elements of their own.
	return metricOnes.FindAllString(strings.Join(strings.Fields(text), " ")+"\n"+text, -1)
}

// A place whose owner thinks in gallons, °F and grains is told so on every page, and is
// asked so by every form; its records hold litres and °C.
func TestPagesAreInTheOwnersUnits(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	desk, records := kitchen(t, withTools, func(s *schedule.Setup) {
		s.Place.Units, s.Place.HardnessUnit, s.Place.Zone = record.USCustomary, water.GrainPerGallon, "America/Chicago"
		s.Equipment[0].Machine.Vessels[0].Litres = 0
	})
	desk.Worlds = 50
	h := open(desk)
	paths := []string{"/", "/plan", "/use", "/water", "/water/new", "/water/compare", "/history", "/score", "/calendar", "/equipment", "/equipment/bench", "/equipment/bench/brew", "/equipment/bench/steam", "/equipment/grinder", "/record", "/print/sitting", "/print/plan", "/print/report/bench", "/labels", "/visits", "/settings", "/settings/care", "/settings/equipment/bench", "/settings/equipment/tap", "/settings/add/machine", "/use/import"}
	for _, info := range desk.Day(t, schedule.Moment{}).Tasks() {
		paths = append(paths, "/tasks/"+info.Task)
	}
	all := ""
	for _, path := range paths {
		_, body := ask(t, h, get(path, "Accept-Language", "en-US"))
		all += body
		if left := metricLeft(body); len(left) > 0 {
			t.Errorf("%s says %q", path, left)
		}
	}
	for _, want := range []string{"°F", " gallons", " quarts", " fl oz", ", US gallons", ", US fluid ounces", "104 °F or less", "gpg", "Mon, Mar 2, 2026"} {
		if !strings.Contains(all, want) {
			t.Errorf("no page says %q", want)
		}
	}

	// What is typed is kept in the units of the records. 200 °F are 93.33 °C, 12 fl oz
	// 0.354882 L, 130 gallons 492.10 L (NIST SP 811, B.8); 10 gpg are 9.5906 °dH.
	keep(t, h, "/settings/equipment/bench", "/settings/equipment/bench", map[string]string{"vessels-0-celsius": "200", "vessels-0-litres": "12"})
	keep(t, h, "/settings/equipment/tap", "/settings/equipment/tap", map[string]string{"treatment-0-rated_litres": "130", "treatment-0-rated_hardness_dh": "10"})
	d := desk.Day(t, schedule.Moment{})
	bench, _ := d.Book.Find("bench")
	tap, _ := d.Book.Find("tap")
	brew, steam, cartridge := bench.Machine.Vessels[0], bench.Machine.Vessels[1], tap.Line.Treatment[0]
	for _, c := range []struct{ got, want float64 }{
		{brew.Celsius, 93.33}, {brew.Litres, 0.35488}, {steam.Litres, 1.2}, {cartridge.RatedLitres, 492.10}, {cartridge.RatedDegrees, 9.5906},
	} {
		if math.Abs(c.got-c.want) > 1e-4*c.want {
			t.Errorf("%v is kept, not %v", c.got, c.want)
		}
	}
	before := records.Last().ID
	if _, page := keep(t, h, "/settings/equipment/bench", "/settings/equipment/bench", nil); !strings.Contains(page, "Nothing was changed") || records.Last().ID != before {
		t.Error("a form that was sent as it came has changed something")
	}
	if answer, body := ask(t, h, post("/settings/equipment/bench", func() url.Values {
		v := shownAs(t, h, "/settings/equipment/bench", "/settings/equipment/bench")
		v.Set("vessels-0-celsius", "93")
		return v
	}())); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("93 °F in a boiler: status %d", answer.StatusCode)
	} else {
		holds(t, body, "Its water, °F", "&#34;93&#34; cannot be taken; give 140 to 284 °F")
	}
	answer, body := ask(t, h, post("/tasks/bench/temperature-check/reading", url.Values{"celsius": {"197"}, "part": {"left"}, "date": {"2026-03-01"}}))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("a reading: status %d\n%s", answer.StatusCode, body)
	}
	if got := records.Of(record.KindMeasurement)[0].Body.(record.Measurement).Celsius; got != 91.67 {
		t.Errorf("197 °F are kept as %v °C", got)
	}
	_, body = ask(t, h, get(answer.Header.Get("Location")))
	holds(t, body, "197 °F")
	answer, _ = ask(t, h, post("/use/meter", url.Values{"meter-reading": {"1000"}, "meter-unit": {"gallons"}, "meter-date": {"2026-03-01"}}))
	if got := records.Last().Body.(record.MeterReading).Litres; answer.StatusCode != http.StatusSeeOther || math.Abs(got-3785.411784) > 1e-6 {
		t.Errorf("1000 gallons: status %d, %v litres", answer.StatusCode, got)
	}
}
