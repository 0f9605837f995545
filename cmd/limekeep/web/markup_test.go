package web_test

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// markup is what a page's elements say about each other.
type markup struct {
	ids      []string
	labels   []string // ids that labels are for
	inputs   []string // ids of inputs that are shown
	pointed  []string // ids that elements point at
	headings []int
	bare     []string // table headers without a scope
}

// readMarkup reads a page and fails where its elements do not close in order.
func readMarkup(t *testing.T, body string) markup {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(body))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var m markup
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return m
		}
		if err != nil {
			t.Fatalf("the page is not well-formed: %v", err)
		}
		if e, ok := token.(xml.StartElement); ok {
			m.take(e)
		}
	}
}

func (m *markup) take(e xml.StartElement) {
	is := map[string]string{}
	for _, a := range e.Attr {
		is[a.Name.Local] = a.Value
	}
	if id := is["id"]; id != "" {
		m.ids = append(m.ids, id)
	}
	for _, pointer := range []string{"aria-describedby", "aria-labelledby"} {
		m.pointed = append(m.pointed, strings.Fields(is[pointer])...)
	}
	if at, ok := strings.CutPrefix(is["href"], "#"); ok {
		m.pointed = append(m.pointed, at)
	}
	switch name := e.Name.Local; name {
	case "label":
		m.labels = append(m.labels, is["for"])
	case "input", "select", "textarea":
		if is["type"] != "hidden" {
			m.inputs = append(m.inputs, is["id"])
		}
	case "th":
		if is["scope"] == "" {
			m.bare = append(m.bare, name)
		}
	case "h1", "h2", "h3", "h4":
		m.headings = append(m.headings, int(name[1]-'0'))
	}
}

// Those who hear the pages, or move through them with keys, need labels,
// headings in order and pointers that lead somewhere (WCAG 2.2, 1.3.1).
func TestPagesHoldTogether(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	desk, records := readKitchen(t)
	h := open(desk, withApps(twoApps()))
	bodies := map[string]string{}
	takeBack := "/history/" + serviceOf(t, records) + "/take-back"
	for _, path := range []string{"/", "/tasks/bench/descale/brew", "/tasks/tap/water-test", "/tasks/grinder/shot-time", "/water/new", "/plan", "/use", "/score", "/history", takeBack, "/calendar", "/about", "/history?kind=service", "/equipment", "/equipment/bench", "/equipment/grinder", "/equipment/bench/steam", "/equipment/bench/brew", "/water", "/water/compare", "/water/compare?bypass=x&price=y", "/water/compare?bypass=", "/nowhere", "/print/sitting", "/print/plan", "/print/report/bench", "/labels", "/visits", "/record/bench", "/record/tap", "/settings/add", "/settings/add/machine", "/settings/add/machine?name=x&layout=lever", "/settings/add/cartridge?filter=softener&fitted=%3F&litres=%3F&before=none", "/settings/add/tools", "/own-calendar", "/settings/care", "/use/import", "/settings", "/settings/equipment/bench", "/settings/equipment/grinder", "/settings/equipment/tap", "/settings/equipment/tap/retire"} {
		_, bodies[path] = ask(t, h, get(path))
	}
	_, bodies["a service refused"] = ask(t, h, post("/tasks/bench/descale/brew/done", url.Values{"date": {"x"}, "grams": {"x"}}))
	_, bodies["a test refused"] = ask(t, h, post("/water", url.Values{"date": {"x"}, "value-1": {"x"}, "value-5": {"1"}, "quantity-6": {"tds"}, "celsius": {"x"}}))
	_, bodies["a reading refused"] = ask(t, h, post("/tasks/grinder/shot-time/reading", url.Values{"seconds": {"x"}, "date": {"x"}, "note": {strings.Repeat("x", 1001)}}))
	_, bodies["a move refused"] = ask(t, h, post("/tasks/grinder/shot-time/move", url.Values{"move": {"to"}, "day": {"x"}}))
	_, bodies["a record kept"] = ask(t, h, post(takeBack, url.Values{"why": {strings.Repeat("x", 1001)}}))
	for _, form := range []string{"shots", "bag", "meter", "guests", "away", "end"} {
		_, bodies["use refused: "+form] = ask(t, h, post("/use/"+form, url.Values{}))
	}
	_, bodies["a day kept free refused"] = ask(t, h, post("/plan/block", url.Values{"block-from": {"x"}}))
	_, bodies["stock refused"] = ask(t, h, post("/plan/stock", url.Values{"stock-number": {"x"}}))
	_, bodies["times refused"] = ask(t, h, post("/settings/times", url.Values{"times-0-days": {"SAT"}, "times-0-clock": {"x"}}))
	_, bodies["a machine refused"] = ask(t, h, post("/settings/equipment/bench", url.Values{"vessels-0-litres": {"x"}, "timer-0-days": {"SAT"}}))
	_, bodies["a line kept"] = ask(t, h, post("/settings/equipment/tap/retire", url.Values{}))
	for name, body := range sittingBodies(t) {
		bodies[name] = body
	}
	for name, body := range writtenPages(t) {
		bodies[name] = body
	}
	_, bodies["an address kept"] = ask(t, h, post("/address/new", url.Values{}))
	_, bodies["an app refused"] = ask(t, h, post("/apps", url.Values{"name": {" "}}))
	_, bodies["an app let in"] = ask(t, h, post("/apps", url.Values{"name": {"Watch"}}))
	for name, body := range bodies {
		t.Run(name, func(t *testing.T) {
			m := readMarkup(t, body)
			for i, id := range m.ids {
				if slices.Contains(m.ids[:i], id) {
					t.Errorf("id %q stands twice", id)
				}
			}
			for _, id := range m.inputs {
				if !slices.Contains(m.labels, id) {
					t.Errorf("input %q has no label", id)
				}
			}
			for _, id := range slices.Concat(m.labels, m.pointed) {
				if !slices.Contains(m.ids, id) {
					t.Errorf("something points at %q, which is not there", id)
				}
			}
			if len(m.bare) > 0 {
				t.Errorf("%d table headers have no scope", len(m.bare))
			}
			if len(m.headings) == 0 || m.headings[0] != 1 || slices.Contains(m.headings[1:], 1) {
				t.Errorf("the page has not just one first heading, on top: %v", m.headings)
			}
			for i := 1; i < len(m.headings); i++ {
				if m.headings[i] > m.headings[i-1]+1 {
					t.Errorf("headings skip a level: %v", m.headings)
				}
			}
		})
	}
}

// serviceOf returns the number of a service in the records.
func serviceOf(t *testing.T, records *sample.Records) string {
	t.Helper()
	for _, e := range records.Of(record.KindService) {
		return fmt.Sprint(e.ID)
	}
	t.Fatal("there is no service")
	return ""
}

// writtenPages returns the pages that say what was written down, with all on them
// that only shows then: two groups, readings, a time away without an end, what is
// fixed, ordered and void.
func writtenPages(t *testing.T) map[string]string {
	t.Helper()
	desk, _ := kitchen(t, withTools, func(s *schedule.Setup) {
		second := s.Equipment[0]
		second.ID = "lever"
		s.Equipment = append(s.Equipment, second)
	})
	h := open(desk)
	bodies := map[string]string{}
	const check = "/tasks/bench/temperature-check"
	for _, f := range []struct {
		name, path string
		form       url.Values
	}{
		{"a reading written", check + "/reading", url.Values{"celsius": {"91.5"}, "date": {"2026-03-01"}}},
		{"another group's", check + "/reading", url.Values{"celsius": {"92.5"}, "part": {"left"}, "date": {"2026-03-01"}}},
		{"a move written", check + "/move", url.Values{"move": {"to"}, "day": {"2026-04-01"}}},
		{"shots written", "/use/shots", url.Values{"shots-machine": {"lever"}, "shots-date": {"2026-03-01"}, "shots-shots": {"4"}}},
		{"a meter written", "/use/meter", url.Values{"meter-reading": {"10"}, "meter-date": {"2026-02-01"}}},
		{"a meter written again", "/use/meter", url.Values{"meter-reading": {"900"}, "meter-date": {"2026-03-01"}}},
		{"a time away written", "/use/away", url.Values{"away-from": {"2026-06-01"}}},
		{"a record taken back", "/history/8/take-back", url.Values{}},
	} {
		answer, body := ask(t, h, post(f.path, f.form))
		if answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("%s: status %d\n%s", f.name, answer.StatusCode, body)
		}
		_, bodies[f.name] = ask(t, h, get(answer.Header.Get("Location")))
		holds(t, bodies[f.name], `role="status"`)
	}
	_, bodies["the plan of these"] = ask(t, h, get("/plan"))
	return bodies
}
