package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// withTools adds a second group and a weighing scale to the kitchen.
func withTools(s *schedule.Setup) {
	s.Equipment[0].Machine.Groups = append(s.Equipment[0].Machine.Groups, record.Group{ID: "left", ThreeWayValve: true})
	s.Equipment = append(s.Equipment, record.Equipment{ID: "tools", Bought: record.NewDate(2024, 3, 1), Tools: &record.Tools{Setting: record.Home, Have: []record.Tool{record.WeighingScale}}})
}

// filledChecks are the forms of all checks, sent as a phone with a comma on its
// keypad sends them, and what they write down.
var filledChecks = map[string]struct {
	form  url.Values
	wrote record.Measurement
}{
	"bench/flow-test/left": {url.Values{"grams": {"181,5"}, "seconds": {"20"}},
		record.Measurement{Kind: record.Flow, Equipment: "bench", Part: "left", Grams: 181.5, Seconds: 20}},
	"bench/warm-up/brew": {url.Values{"minutes": {"8.5"}, "from_celsius": {"21"}},
		record.Measurement{Kind: record.WarmUpTime, Equipment: "bench", Part: "brew", Minutes: 8.5, FromCelsius: 21}},
	"bench/warm-up/steam": {url.Values{"minutes": {"11"}, "from_celsius": {""}},
		record.Measurement{Kind: record.WarmUpTime, Equipment: "bench", Part: "steam", Minutes: 11}},
	"grinder/shot-time": {url.Values{"seconds": {"28"}, "setting": {"-2.5"}, "dose_grams": {"18"}, "yield_grams": {"36"}, "note": {"new bag\r\nopened"}},
		record.Measurement{Kind: record.ShotTime, Equipment: "grinder", Seconds: 28, Setting: -2.5, DoseGrams: 18, YieldGrams: 36, Note: "new bag\nopened"}},
	"bench/temperature-check": {url.Values{"celsius": {"91,5"}, "part": {"left"}},
		record.Measurement{Kind: record.BrewTemperature, Equipment: "bench", Part: "left", Celsius: 91.5}},
	"bench/pump-pressure": {url.Values{"bar": {"9.1"}},
		record.Measurement{Kind: record.PumpPressure, Equipment: "bench", Bar: 9.1}},
	"tools/scale-check": {url.Values{"shown_grams": {"99.9"}, "mass_grams": {"100"}},
		record.Measurement{Kind: record.ReferenceMass, Equipment: "tools", ShownGrams: 99.9, MassGrams: 100}},
}

// Each check has a form of just its own figures on the page of its task, is
// written down from there, and is told afterwards with what it says.
func TestReadingsAreWrittenDown(t *testing.T) {
	desk, records := kitchen(t, withTools)
	h := open(desk)
	all := desk.Day(t, schedule.Moment{}).Tasks()
	asked := map[record.MeasurementKind]bool{}
	for _, info := range all {
		c, ok := filledChecks[info.Task]
		if _, body := ask(t, h, get("/tasks/"+info.Task)); strings.Contains(body, "/reading") != (info.Records != "") {
			t.Errorf("%s: a form for a reading does not stand where it should", info.Task)
		}
		if !ok {
			continue
		}
		asked[c.wrote.Kind] = true
		_, body := ask(t, h, get("/tasks/"+info.Task))
		for name := range c.form {
			holds(t, body, fmt.Sprintf(`id="%s" name="%s"`, name, name))
		}
		for _, name := range []string{"grams", "seconds", "minutes", "from_celsius", "setting", "dose_grams", "yield_grams", "celsius", "bar", "shown_grams", "mass_grams"} {
			if _, mine := c.form[name]; !mine && strings.Contains(body, fmt.Sprintf(`name="%s"`, name)) {
				t.Errorf("%s: asks for %s", info.Task, name)
			}
		}
		c.form.Set("date", "2026-03-01")
		answer, body := ask(t, h, post("/tasks/"+info.Task+"/reading", c.form))
		last := records.Last()
		if want := fmt.Sprintf("/tasks/%s?written=%d", info.Task, last.ID); answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != want {
			t.Fatalf("%s: status %d to %q, not 303 to %q\n%s", info.Task, answer.StatusCode, answer.Header.Get("Location"), want, body)
		}
		if last.Body != record.Body(c.wrote) || last.Effective != record.NewDate(2026, 3, 1) || last.Source != "page" {
			t.Errorf("%s: wrote %+v on %s by %q", info.Task, last.Body, last.Effective, last.Source)
		}
		_, body = ask(t, h, get(answer.Header.Get("Location")))
		told, _, _ := strings.Cut(body, `id="safety"`)
		holds(t, told, fmt.Sprintf("Written down as record %d: %s of ", last.ID, c.wrote.Kind), "Sun 1 Mar 2026", fmt.Sprintf("/history/%d/take-back", last.ID), "One reading alone is shown and not followed")
		holds(t, body, `id="readings"`, `<td><time datetime="2026-03-01">1 Mar 2026</time></td>`)
	}
	for _, kind := range record.MeasurementKind("").Choices() {
		if !asked[record.MeasurementKind(kind)] {
			t.Errorf("no page takes a reading of %s", kind)
		}
	}
}

// What stays the same from one reading to the next is filled in from the last.
func TestReadingIsFilledInFromTheLast(t *testing.T) {
	desk, _ := kitchen(t)
	h := open(desk)
	_, body := ask(t, h, get("/tasks/grinder/shot-time"))
	holds(t, body, `inputmode="decimal" id="dose_grams" name="dose_grams" value=""`)
	ask(t, h, post("/tasks/grinder/shot-time/reading", url.Values{"seconds": {"28"}, "setting": {"14"}, "dose_grams": {"18.2"}, "yield_grams": {"37"}, "date": {"2026-03-01"}}))
	_, body = ask(t, h, get("/tasks/grinder/shot-time"))
	holds(t, body, `name="dose_grams" value="18.2"`, `name="yield_grams" value="37"`, `name="seconds" value=""`, `name="setting" value=""`)
}

func TestReadingRefuses(t *testing.T) {
	desk, records := readKitchen(t)
	h := open(desk)
	kept := len(records.Of(record.KindMeasurement))
	shot := func(pairs ...string) url.Values {
		form := url.Values{"seconds": {"28"}, "setting": {"14"}, "dose_grams": {"18"}, "yield_grams": {"36"}, "date": {"2026-03-01"}}
		for i := 0; i+1 < len(pairs); i += 2 {
			form.Set(pairs[i], pairs[i+1])
		}
		return form
	}
	for _, c := range []struct {
		name   string
		task   string
		form   url.Values
		status int
		input  string
		holds  []string
	}{
		{"nothing", "bench/flow-test/group", url.Values{}, 422, "grams", []string{"Water caught, g: nothing is given; give a number, such as 180", `id="seconds-problem"`, `id="date-problem"`}},
		{"no number", "grinder/shot-time", shot("dose_grams", "18 g", "note", "<b>"), 422, "dose_grams", []string{`value="18 g"`, `value="36"`, "&lt;b&gt;"}},
		{"no setting", "grinder/shot-time", shot("setting", " "), 422, "setting", []string{"or 0 at the zero point"}},
		{"thousands", "grinder/shot-time", shot("setting", "1,250"), 422, "setting", []string{"may be thousands"}},
		{"beyond what a gauge shows", "bench/pump-pressure", url.Values{"bar": {"90"}, "date": {"2026-03-01"}}, 422, "bar", []string{"Reading once it stands, bar", "0.5 to 20 bar", `value="90"`}},
		{"sooner than its heater can", "bench/warm-up/brew", url.Values{"minutes": {"0.5"}, "date": {"2026-03-01"}}, 422, "minutes", []string{"do not heat 0.6 litres"}},
		{"from ice", "bench/warm-up/brew", url.Values{"minutes": {"9"}, "from_celsius": {"0.5"}, "date": {"2026-03-01"}}, 422, "from_celsius", []string{"1 to 60 °C"}},
		{"tomorrow", "grinder/shot-time", shot("date", "2026-03-03"), 422, "date", []string{"not after today", `value="2026-03-03"`}},
		{"no day", "grinder/shot-time", shot("date", "soon"), 422, "date", []string{"such as 2026-03-31"}},
		{"endless note", "grinder/shot-time", shot("note", strings.Repeat("x", 1001)), 422, "note", []string{"at most 1000"}},
		{"a task that is no check", "bench/descale/brew", url.Values{"grams": {"3"}}, 422, "", nil},
		{"an unknown task", "bench/polish", url.Values{}, 404, "", []string{"not known"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			answer, body := ask(t, h, post("/tasks/"+c.task+"/reading", c.form))
			if answer.StatusCode != c.status {
				t.Fatalf("status %d, not %d", answer.StatusCode, c.status)
			}
			holds(t, body, c.holds...)
			if c.input != "" {
				holds(t, body, "Nothing was written yet", fmt.Sprintf(`aria-describedby="%s-problem"`, c.input), fmt.Sprintf(`id="%s-problem"`, c.input), fmt.Sprintf(`href="#%s"`, c.input))
			}
			if n := len(records.Of(record.KindMeasurement)); n != kept {
				t.Errorf("%d readings are kept, not %d", n, kept)
			}
		})
	}
}

// A reading far off the others is told as such at once.
func TestReadingFarOffIsTold(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	for i, grams := range []float64{200, 198, 199, 201, 198, 200} {
		if _, err := desk.Journal.Measure(context.Background(), desk.Day(t, schedule.Moment{}), record.NewDate(2026, 1, 10+i), record.Measurement{Kind: record.Flow, Grams: grams, Seconds: 20}); err != nil {
			t.Fatal(err)
		}
	}
	answer, _ := ask(t, h, post("/tasks/bench/flow-test/group/reading", url.Values{"grams": {"120"}, "seconds": {"20"}, "date": {"2026-03-01"}}))
	_, body := ask(t, h, get(answer.Header.Get("Location")))
	told, readings, _ := strings.Cut(body, `id="safety"`)
	holds(t, told, fmt.Sprintf("record %d) lies far off the others: it is shown and not followed", records.Last().ID))
	holds(t, readings, "far off: not followed")
}
