package picture

import (
	"html/template"
	"slices"
	"strconv"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Picture is a drawing with what it shows in words and figures.
type Picture struct {
	Title string        // what it is of
	Desc  string        // what is to be seen on it, for those who do not see it
	SVG   template.HTML // an svg element, to stand in a page as it is
	Table Table         // the same in figures
}

// Table is the figures of a picture.
type Table struct {
	Head []string   // of the columns; the first names the rows
	Rows [][]string // as many cells as the head has
}

// Writing says how dates and numbers are written. What is nil is written in
// English, with a decimal point and the day before the month.
type Writing struct {
	Date   func(record.Date) string
	Month  func(record.Date) string // month and year
	Number func(x float64, decimals int) string
}

func (w Writing) date(d record.Date) string {
	if w.Date != nil {
		return w.Date(d)
	}
	return dayOf(d).Format("2 Jan 2006")
}

func (w Writing) month(d record.Date) string {
	if w.Month != nil {
		return w.Month(d)
	}
	return dayOf(d).Format("Jan 2006")
}

func (w Writing) number(x float64, decimals int) string {
	if w.Number != nil {
		return w.Number(x, decimals)
	}
	return figure.AtMost(x, decimals)
}

// rough writes a number with about two significant digits.
func (w Writing) rough(x float64) string { return w.number(x, figure.RoughDecimals(x)) }

// percent writes a share of one in whole per cent.
func (w Writing) percent(share float64) string {
	if share > 9.995 {
		return "×" + w.number(share, 0)
	}
	return w.number(100*share, 0) + " %"
}

// finish closes a canvas around a title, a description and a size, and makes it a
// picture. The id must be the picture's own on its page.
func finish(c *canvas, id, class, title, desc string, width, height float64, table Table) Picture {
	var whole canvas
	whole.open("svg", "class", "picture "+class, "viewBox", "0 0 "+decimal(width)+" "+decimal(height),
		"role", c.role(), "aria-labelledby", id+"-title "+id+"-desc", "focusable", "false", "xmlns", "http://www.w3.org/2000/svg")
	whole.words("title", title, "id", id+"-title")
	whole.words("desc", desc, "id", id+"-desc")
	whole.b.WriteString(c.b.String())
	whole.close("svg")
	return Picture{Title: title, Desc: desc, SVG: template.HTML(whole.b.String()), Table: table} //nolint:gosec // the canvas escapes every text
}

// thinned keeps at most so many of the rows, the first and the last among them.
func thinned[T any](rows []T, most int) []T {
	if len(rows) <= most {
		return rows
	}
	var kept []T
	for i := range most {
		kept = append(kept, rows[i*(len(rows)-1)/(most-1)])
	}
	return slices.Clip(kept)
}

// shortened cuts a text that would run out of its place.
func shortened(text string, most int) string {
	runes := []rune(text)
	if len(runes) <= most {
		return text
	}
	return string(runes[:max(most-1, 1)]) + "…"
}

// wrapped breaks a text over two lines at a space, where it is too long for one.
func wrapped(text string, most int) []string {
	if len([]rune(text)) <= most {
		return []string{text}
	}
	best := -1
	for i, r := range text {
		if r == ' ' && len([]rune(text[:i])) <= most {
			best = i
		}
	}
	if best < 0 {
		return []string{shortened(text, most)}
	}
	return []string{text[:best], shortened(text[best+1:], most)}
}

// decimal writes a coordinate: a tenth of a unit is finer than any screen.
func decimal(x float64) string {
	return strconv.FormatFloat(float64(int64(x*10+sign(x)*0.5))/10, 'f', -1, 64)
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}
