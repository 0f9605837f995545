package picture_test

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/cmd/limekeep/web/picture"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

var update = flag.Bool("update", false, "write the drawings as they are now to testdata")

// today is the day of every drawing.
var today = record.NewDate(2026, 3, 2)

// drawings has one of each, each with a name of somebody's choosing in it.
func drawings(name string) map[string]picture.Picture {
	var scale []picture.Point
	for i := range 20 {
		x := float64(i) / 10
		scale = append(scale, picture.Point{On: today - 400 + record.Date(60*i), Low: 0.4 * x, Likely: 0.7 * x, High: 1.1 * x, Fresh: i == 6})
	}
	all := map[string]picture.Picture{
		"course": picture.Course{
			ID: "a", Title: "Scale in " + name, Unit: "mm", Lines: []picture.Line{{Name: name, Points: scale}}, Limit: 1, Today: today,
			Marks: []picture.Mark{{On: today - 40, Value: math.NaN(), Kind: picture.Served, Label: "descaled"}, {On: today - 40, Value: 0.5, Kind: picture.Found, Label: name}},
		}.Draw(picture.Writing{}),
		"tests": picture.Course{
			ID: "b", Title: "Hardness of " + name, Unit: "°dH", Today: today, Lines: []picture.Line{
				{Name: "before treatment", Single: true, Points: []picture.Point{{On: today - 300, Low: 12, Likely: 13, High: 14}, {On: today - 20, Low: 10, Likely: 15, High: 20}}},
				{Name: "behind " + name, Single: true, Points: []picture.Point{{On: today - 290, Low: 4, Likely: 5, High: 6}}},
			},
		}.Draw(picture.Writing{}),
		"window": picture.Window{ID: "c", Title: name, Today: today, Last: today - 90, Early: today + 20, Likely: today + 60, Late: today + 130, Planned: today + 55}.Draw(picture.Writing{}),
		"beyond": picture.Window{ID: "d", Title: name, Today: today, Early: today + 900}.Draw(picture.Writing{}),
		"bars": picture.Bars{ID: "e", Title: name, Unit: "litres", Bars: []picture.Bar{
			{From: today - 14, Value: 4}, {From: today - 7, Value: 6}, {From: today, Value: 5, Low: 3, High: 8, ToCome: true}}}.Draw(picture.Writing{}),
		"dial":      picture.Dial{ID: "f", Title: name, Reading: figure.Percentiles{Low: 0.7, Likely: 0.93, High: 1.2}}.Draw(picture.Writing{}),
		"histogram": picture.Histogram{ID: "g", Title: name, Of: "findings", Low: 2, High: 8, Classes: []picture.Class{{Name: "0–20 %", Count: 3, Expected: 5}, {Name: "20–40 %", Count: 7, Expected: 5}}}.Draw(picture.Writing{}),
	}
	for kind, m := range machines() {
		m.Whole.Name, m.Supply.What = name, name
		all["machine-"+kind] = m.Draw(picture.Writing{})
	}
	return all
}

// elements reads a drawing, fails where it is not well-formed, and returns the
// attributes of each element and the texts.
func elements(t *testing.T, svg string) (all []map[string]string, texts string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all, texts
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, svg)
		}
		switch token := token.(type) {
		case xml.StartElement:
			is := map[string]string{"": token.Name.Local}
			for _, a := range token.Attr {
				is[a.Name.Local] = a.Value
			}
			all = append(all, is)
		case xml.CharData:
			texts += string(token)
		}
	}
}

func TestGoldenDrawings(t *testing.T) {
	for name, p := range drawings("the boiler") {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join("testdata", name+".svg")
			svg := strings.ReplaceAll(string(p.SVG), "><", ">\n<") + "\n"
			if *update {
				if err := os.WriteFile(file, []byte(svg), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), svg); diff != "" {
				t.Errorf("the drawing has changed (go test -update writes it anew):\n%s", diff)
			}
		})
	}
}

// A name may hold anything, and stays a name.
func TestHostileNames(t *testing.T) {
	for _, name := range []string{`</title><script>alert(1)</script>`, `"' onload="x`, "]]>&amp;<!--", "\x00\x0b\ufffe", "\xff\xfe", "a\u202eb", strings.Repeat("Ω", 400), ""} {
		for kind, p := range drawings(name) {
			all, _ := elements(t, string(p.SVG))
			for _, e := range all {
				if e[""] == "script" || e["onload"] != "" {
					t.Errorf("%s: the name %q became an element", kind, name)
				}
			}
		}
	}
}

// Whoever does not see a drawing hears its title and its description, and can read
// the figures (WCAG 2.2, 1.1.1).
func TestEveryDrawingIsSaid(t *testing.T) {
	for name, p := range drawings("the boiler") {
		all, texts := elements(t, string(p.SVG))
		ids := map[string]bool{}
		for _, e := range all {
			ids[e["id"]] = true
		}
		for _, id := range strings.Fields(all[0]["aria-labelledby"]) {
			if !ids[id] {
				t.Errorf("%s points at %q, which is not there", name, id)
			}
		}
		if !strings.Contains(texts, p.Title) || len(p.Desc) < 20 || !strings.Contains(texts, p.Desc) {
			t.Errorf("%s: its title or its description is missing: %q", name, p.Desc)
		}
		if len(p.Table.Rows) == 0 {
			t.Errorf("%s has no table", name)
		}
		for _, row := range p.Table.Rows {
			if len(row) != len(p.Table.Head) {
				t.Errorf("%s: the row %q does not fit the head %q", name, row, p.Table.Head)
			}
		}
	}
}

// Figures that nobody should have may look odd, but never break a page.
func TestOddFigures(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), -1, 0, 1e300, 1e-300} {
		p := picture.Course{ID: "a", Lines: []picture.Line{{Points: []picture.Point{{On: today, Low: x, Likely: x, High: x}}}}, Limit: x}.Draw(picture.Writing{})
		elements(t, string(p.SVG))
		if strings.Contains(string(p.SVG), `"NaN`) || strings.Contains(string(p.SVG), "Inf ") {
			t.Errorf("%v: a coordinate is no number: %s", x, p.SVG)
		}
		elements(t, string(picture.Dial{ID: "a", Reading: figure.Sure(x)}.Draw(picture.Writing{}).SVG))
		elements(t, string(picture.Bars{ID: "a", Bars: []picture.Bar{{From: today, Value: x}}}.Draw(picture.Writing{}).SVG))
	}
	for _, p := range []picture.Picture{
		picture.Course{ID: "a"}.Draw(picture.Writing{}), picture.Bars{ID: "a"}.Draw(picture.Writing{}),
		picture.Window{ID: "a"}.Draw(picture.Writing{}), picture.Histogram{ID: "a"}.Draw(picture.Writing{}),
	} {
		elements(t, string(p.SVG))
	}
}

// Dates and numbers are the owner's.
func TestOwnWriting(t *testing.T) {
	w := picture.Writing{
		Date:   func(d record.Date) string { return "D" + d.String() },
		Month:  func(d record.Date) string { return "M" + d.String()[:7] },
		Number: func(x float64, decimals int) string { return strings.ReplaceAll(figure.AtMost(x, decimals), ".", ",") },
	}
	p := picture.Course{ID: "a", Unit: "mm", Limit: 0.5, Lines: []picture.Line{{Points: []picture.Point{{On: today, Likely: 0.25}, {On: today + 400, Likely: 0.75}}}}}.Draw(w)
	for _, want := range []string{"D2027-04-06", "M2026-07", "0,5"} {
		if !strings.Contains(string(p.SVG), want) {
			t.Errorf("%q is not on it: %s", want, p.SVG)
		}
	}
}
