package picture

import (
	"math"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/water/figure"
)

// Dial is one gauge: a ring that fills up to its limit at the top right, with its
// spread as a thin arc outside.
type Dial struct {
	ID      string // its own on the page
	Title   string // what wears
	Reading figure.Percentiles
}

// dialMost is the reading at which the ring is full.
const dialMost = 1.5

// State is what a reading comes to in a word.
func State(reading float64) string {
	switch {
	case reading >= 1:
		return wording.PastItsLimit
	case reading >= 0.8:
		return wording.CloseToItsLimit
	}
	return wording.InOrder
}

// Draw draws the gauge.
func (d Dial) Draw(w Writing) Picture {
	var on canvas
	const x, y, radius = 60, 62, 44
	likely := d.Reading.Likely
	on.path(arc(x, y, radius, 0, dialMost), "ring")
	on.path(arc(x, y, radius, 0, likely), "ring-fill "+level(likely))
	on.path(arc(x, y, radius+11, d.Reading.Low, d.Reading.High), "ring-spread")
	inner, outer := around(x, y, radius-9, 1), around(x, y, radius+9, 1)
	on.line(inner.x, inner.y, outer.x, outer.y, "ring-limit")
	on.text(x, y+6, "middle", "number", w.percent(likely))
	sym := ""
	if likely >= 0.8 {
		sym = either(likely >= 1, "▲ "+wording.PastLimit, wording.CloseToLimit)
	}
	on.text(x, y+22, "middle", "words", sym)
	desc := wording.DialSays(w.percent(likely), State(likely), w.percent(d.Reading.Low), w.percent(d.Reading.High))
	return finish(&on, d.ID, "dial", d.Title, desc, 120, 112, Table{Head: []string{wording.Gauge, wording.Likely, wording.Low, wording.High},
		Rows: [][]string{{d.Title, w.percent(likely), w.percent(d.Reading.Low), w.percent(d.Reading.High)}}})
}

// level names how far a gauge is, for the style sheet.
func level(reading float64) string {
	switch {
	case reading >= 1:
		return "past"
	case reading >= 0.8:
		return "close"
	}
	return "fine"
}

// The ring opens at the foot: it runs clockwise from lower left to lower right.
const (
	ringFrom = 225.0 // degrees, 0 to the right and counted against the clock
	ringOver = 270.0
)

// around is the point of a ring at a reading.
func around(x, y, radius, reading float64) spot {
	share := min(max(reading, 0), dialMost) / dialMost
	if math.IsNaN(reading) {
		share = 0
	}
	angle := (ringFrom - ringOver*share) * math.Pi / 180
	return spot{x + radius*math.Cos(angle), y - radius*math.Sin(angle)}
}

// arc is the path of a ring between two readings.
func arc(x, y, radius, from, to float64) string {
	a, b := around(x, y, radius, from), around(x, y, radius, to)
	large := either((min(max(to, 0), dialMost)-max(from, 0))/dialMost*ringOver > 180, "1", "0")
	return "M" + decimal(a.x) + " " + decimal(a.y) + "A" + decimal(radius) + " " + decimal(radius) + " 0 " + large + " 1 " + decimal(b.x) + " " + decimal(b.y)
}
