package picture

import (
	"strings"

	"limekeep/cmd/limekeep/web/wording"
)

// Histogram is how often something fell into each of some classes, beside how
// often it should have.
type Histogram struct {
	ID        string // its own on the page
	Title     string
	Desc      string
	Of        string // what is counted
	Classes   []Class
	Low, High float64 // between which a count lies nine times in ten by chance alone; equal for none
}

// Class is one class of a histogram.
type Class struct {
	Name     string
	Count    float64
	Expected float64
}

// Draw draws the histogram.
func (h Histogram) Draw(w Writing) Picture {
	var on canvas
	most := h.High
	for _, c := range h.Classes {
		most = max(most, c.Count, c.Expected)
	}
	y := valuesUpTo(most, courseTop, courseFoot)
	frame := Course{Unit: h.Of}
	left, right := 14+6.6*float64(frame.widest(w, y)), float64(courseWidth-8)
	for _, v := range y.marks() {
		on.line(left, y.at(v), right, y.at(v), either(v == 0, "axis", "grid"))
		on.text(left-5, y.at(v)+4, "end", "words", w.number(v, y.decimals))
	}
	on.text(2, 12, "start", "words", h.Of)
	if h.High > h.Low {
		on.rect(left, y.at(h.High), right-left, y.at(h.Low)-y.at(h.High), 0, "band line-1")
	}
	width := (right - left) / float64(max(len(h.Classes), 1))
	for i, c := range h.Classes {
		at := left + width*float64(i)
		on.rect(at+2, y.at(c.Count), max(width-4, 1), courseFoot-y.at(c.Count), 0, "bar-past")
		on.line(at, y.at(c.Expected), at+width, y.at(c.Expected), "limit")
		on.text(at+width/2, courseFoot+16, "middle", "words", shortened(c.Name, max(int(width/6.6), 2)))
	}
	on.line(8, courseHeight-10, 26, courseHeight-10, "limit")
	on.text(31, courseHeight-6, "start", "words", either(h.High > h.Low, wording.ExpectedWithBand, wording.ExpectedAlone))
	return finish(&on, h.ID, "histogram", h.Title, strings.TrimSpace(h.Desc+" "+h.says(w)), courseWidth, courseHeight, h.table(w))
}

func (h Histogram) says(w Writing) string {
	var parts []string
	for _, c := range h.Classes {
		parts = append(parts, wording.CountAndExpected(c.Name, w.rough(c.Count), w.rough(c.Expected)))
	}
	return strings.Join(parts, "; ") + "."
}

func (h Histogram) table(w Writing) Table {
	t := Table{Head: []string{wording.Class, wording.Count, wording.Expected}}
	for _, c := range h.Classes {
		t.Rows = append(t.Rows, []string{c.Name, w.rough(c.Count), w.rough(c.Expected)})
	}
	return t
}
