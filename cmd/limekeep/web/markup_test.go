package web_test

import (
	"encoding/xml"
	"errors"
	"io"
	"net/url"
	"slices"
	"strings"
	"testing"
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
		if is[pointer] != "" {
			m.pointed = append(m.pointed, is[pointer])
		}
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
	desk, _ := readKitchen(t)
	h := open(desk, withApps(twoApps()))
	bodies := map[string]string{}
	for _, path := range []string{"/", "/tasks/bench/descale/brew", "/tasks/tap/water-test", "/water/new", "/history", "/calendar", "/nowhere"} {
		_, bodies[path] = ask(t, h, get(path))
	}
	_, bodies["a service refused"] = ask(t, h, post("/tasks/bench/descale/brew/done", url.Values{"date": {"x"}, "grams": {"x"}}))
	_, bodies["a test refused"] = ask(t, h, post("/water", url.Values{"date": {"x"}, "value-1": {"x"}, "value-5": {"1"}, "quantity-6": {"tds"}, "celsius": {"x"}}))
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
