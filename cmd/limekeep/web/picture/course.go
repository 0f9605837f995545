package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// Course is figures over time, with what bounds them and what was found.
type Course struct {
	ID     string // its own on the page; letters, digits and hyphens
	Title  string
	Desc   string  // what is to be seen; the figures at the ends are added
	Unit   string  // of the values; "%" shows shares of one as per cent
	Least  float64 // where the scale begins, a whole number; a quantity that has a zero begins there
	Lines  []Line
	Limit  float64     // drawn as a line across; 0 for none
	Limits string      // what the limit is called; "limit" where empty
	Marks  []Mark      // what happened
	Today  record.Date // drawn as a line upwards; zero for none
	From   record.Date // where the axis begins; the first point where zero
	To     record.Date // where it ends; the last point where zero
}

// Line is one of the figures of a course.
type Line struct {
	Name   string
	Points []Point
	Single bool // each point was measured by itself: it is drawn as a mark with its spread
}

// Point is a figure on a day: likely, with one chance in ten below low and one
// above high.
type Point struct {
	On                record.Date
	Low, Likely, High float64
	Fresh             bool // the line starts anew here: a service came between
}

// Mark is something that happened on a day.
type Mark struct {
	On    record.Date
	Value float64 // where on the scale; NaN for the foot of the picture
	Kind  MarkKind
	Label string // a word or two
}

// MarkKind tells what happened by the mark's shape.
type MarkKind int

// Kinds of marks.
const (
	Served   MarkKind = iota // a triangle: the work was done
	Found                    // a diamond: something was found
	Measured                 // a circle: a figure was taken
	Planned                  // a flag: a day to come
)

// Sizes of a course's drawing.
const (
	courseWidth  = 400
	courseHeight = 230
	courseTop    = 30
	courseFoot   = 190
)

// Draw draws the course.
func (c Course) Draw(w Writing) Picture {
	var on canvas
	y := valuesFrom(c.Least, c.most(), courseTop, courseFoot)
	from, to := c.span()
	x := days{from: from, to: to, left: 14 + 6.6*float64(c.widest(w, y)), right: courseWidth - 8}
	c.frame(&on, w, x, y)
	for i, line := range c.Lines {
		if line.Single {
			c.singles(&on, x, y, i, line)
		} else {
			c.band(&on, x, y, i, line)
		}
	}
	if c.Limit > 0 {
		at := y.at(c.Limit)
		on.line(x.left, at, x.right, at, "limit")
		on.text(x.right, at-4, "end", "words strong halo", cmp.Or(c.Limits, wording.Limit))
	}
	c.marks(&on, x, y)
	c.legend(&on)
	return finish(&on, c.ID, "course", c.Title, strings.TrimSpace(c.Desc+" "+c.says(w)), courseWidth, courseHeight, c.table(w))
}

// most is the number up to which the axis reaches. A wide band may run out of the
// picture; the limit, the likely line and whatever was measured may not.
func (c Course) most() float64 {
	most, high := 1.12*c.Limit, 0.0
	for _, line := range c.Lines {
		for _, p := range line.Points {
			most = max(most, 1.05*p.Likely)
			if high = max(high, p.High); line.Single {
				most = max(most, 1.02*p.High)
			}
		}
	}
	for _, m := range c.Marks {
		if !math.IsNaN(m.Value) {
			most = max(most, 1.05*m.Value)
		}
	}
	return max(most, min(high, 1.35*most))
}

func (c Course) span() (from, to record.Date) {
	from, to = c.From, c.To
	for _, line := range c.Lines {
		for _, p := range line.Points {
			if c.From.IsZero() && (from.IsZero() || p.On < from) {
				from = p.On
			}
			if c.To.IsZero() {
				to = max(to, p.On)
			}
		}
	}
	if c.To.IsZero() {
		to = max(to, c.Today)
	}
	return from, max(to, from+1)
}

// value writes a number of the scale.
func (c Course) value(w Writing, x float64, decimals int) string {
	if c.Unit == "%" {
		return w.percent(x)
	}
	return w.number(x, decimals)
}

func (c Course) widest(w Writing, y values) int {
	most := 0
	for _, v := range y.marks() {
		most = max(most, len([]rune(c.value(w, v, y.decimals))))
	}
	return most
}

func (c Course) frame(on *canvas, w Writing, x days, y values) {
	for _, v := range y.marks() {
		at := y.at(v)
		on.line(x.left, at, x.right, at, either(v == 0, "axis", "grid"))
		on.text(x.left-5, at+4, "end", "words", c.value(w, v, y.decimals))
	}
	if c.Unit != "" && c.Unit != "%" {
		on.text(2, 12, "start", "words", c.Unit)
	}
	dayNames(on, w, x, courseFoot)
	if c.Today >= x.from && c.Today <= x.to && !c.Today.IsZero() {
		at := x.at(c.Today)
		on.line(at, courseTop-6, at, courseFoot, "today")
		anchor := either(at > (x.left+x.right)/2, "end", "start")
		on.text(at+either2(anchor == "end", -4, 4), courseTop-1, anchor, "words", "today")
	}
}

// dayNames writes the dates beneath an axis, leaving out those that would run into
// one another.
func dayNames(on *canvas, w Writing, x days, foot float64) {
	free := 0.0
	for _, m := range x.marks(w) {
		at := x.at(m.on)
		half := 3.3 * float64(len([]rune(m.text)))
		on.line(at, foot, at, foot+5, "axis")
		if at-half < free || at+half > courseWidth {
			continue
		}
		on.text(at, foot+18, "middle", "words", m.text)
		free = at + half + 8
	}
}

// band draws a line with the band that it lies in four times in five.
func (c Course) band(on *canvas, x days, y values, i int, line Line) {
	for _, life := range lives(line.Points) {
		var low, likely, high []spot
		for _, p := range life {
			at := x.at(p.On)
			low, likely, high = append(low, spot{at, y.at(p.Low)}), append(likely, spot{at, y.at(p.Likely)}), append(high, spot{at, y.at(p.High)})
		}
		around := slices.Clone(high)
		for _, p := range slices.Backward(low) {
			around = append(around, p)
		}
		on.path(trace(around)+"Z", fmt.Sprintf("band line-%d", i))
		on.path(trace(low), fmt.Sprintf("edge line-%d", i))
		for _, edge := range within(high) {
			on.path(trace(edge), fmt.Sprintf("edge line-%d", i))
		}
		on.path(trace(likely), fmt.Sprintf("likely line-%d", i))
	}
}

// within leaves out of an edge what lies beyond the top of the picture, where nothing is
// to be read off.
func within(edge []spot) [][]spot {
	beyond := func(s spot) bool { return s.y <= courseTop }
	all := [][]spot{nil}
	for i, s := range edge {
		if i > 0 && beyond(s) && beyond(edge[i-1]) {
			all = append(all, nil)
		}
		all[len(all)-1] = append(all[len(all)-1], s)
	}
	return slices.DeleteFunc(all, func(run []spot) bool { return len(run) < 2 })
}

// lives parts points where a line starts anew.
func lives(points []Point) [][]Point {
	var all [][]Point
	for i, p := range points {
		if i == 0 || p.Fresh {
			all = append(all, nil)
		}
		all[len(all)-1] = append(all[len(all)-1], p)
	}
	return all
}

// singles draws what was measured: a mark each, its spread, and a thin line from
// one to the next.
func (c Course) singles(on *canvas, x days, y values, i int, line Line) {
	var through []spot
	for _, p := range line.Points {
		through = append(through, spot{x.at(p.On), y.at(p.Likely)})
	}
	on.path(trace(through), fmt.Sprintf("thread line-%d", i))
	for _, p := range line.Points {
		at := x.at(p.On)
		if p.High > p.Low {
			on.line(at, y.at(p.Low), at, y.at(p.High), fmt.Sprintf("spread line-%d", i))
			for _, end := range []float64{p.Low, p.High} {
				on.line(at-3, y.at(end), at+3, y.at(end), fmt.Sprintf("spread line-%d", i))
			}
		}
		shape(on, i, at, y.at(p.Likely), fmt.Sprintf("point line-%d", i))
	}
}

// shape draws a mark that differs from line to line: circle, square, diamond,
// triangle.
func shape(on *canvas, i int, x, y float64, class string) {
	switch i % 4 {
	case 0:
		on.circle(x, y, 4, class)
	case 1:
		on.rect(x-3.6, y-3.6, 7.2, 7.2, 0, class)
	case 2:
		on.path(trace([]spot{{x, y - 5}, {x + 5, y}, {x, y + 5}, {x - 5, y}})+"Z", class)
	default:
		on.path(trace([]spot{{x, y - 5}, {x + 5, y + 4}, {x - 5, y + 4}})+"Z", class)
	}
}

// marks draws what happened, and writes beside each mark what fits there: the rest
// stands in the table. The newest has the first choice, and a word is written once.
func (c Course) marks(on *canvas, x days, y values) {
	marks := slices.Clone(c.Marks)
	slices.SortStableFunc(marks, func(a, b Mark) int { return cmp.Compare(a.On, b.On) })
	marks = slices.DeleteFunc(marks, func(m Mark) bool { return m.On < x.from || m.On > x.to })
	var taken []box
	if c.Limit > 0 {
		at := y.at(c.Limit)
		taken = append(taken, box{x.left, at - 3, x.right, at + 3}, box{x.right - letter*float64(len(cmp.Or(c.Limits, wording.Limit))), at - 15, x.right, at + 2})
	}
	spots := make([]spot, len(marks))
	for i, m := range marks {
		spots[i] = spot{x.at(m.On), courseFoot - 1}
		if !math.IsNaN(m.Value) {
			spots[i].y = y.at(m.Value)
		}
		draw(on, m.Kind, spots[i].x, spots[i].y)
		taken = append(taken, box{spots[i].x - 6, spots[i].y - 8, spots[i].x + 6, spots[i].y + 6})
	}
	written := map[string]bool{}
	for i, m := range slices.Backward(marks) {
		text := shortened(m.Label, 14)
		if text == "" || written[text] {
			continue
		}
		half := letter / 2 * float64(len([]rune(text)))
		middle := min(max(spots[i].x, x.left+half), x.right-half)
		for _, up := range []float64{9, 21, 33} {
			foot := spots[i].y - up
			words := box{middle - half, foot - 10, middle + half, foot + 2}
			if words.top < courseTop-12 || slices.ContainsFunc(taken, words.meets) {
				continue
			}
			on.text(middle, foot, "middle", "words halo", text)
			taken, written[text] = append(taken, words), true
			break
		}
	}
}

// letter is how wide a letter is of the words of a picture, on average.
const letter = 6.6

// box is what something takes up of a picture.
type box struct{ left, top, right, foot float64 }

func (b box) meets(other box) bool {
	return b.left < other.right && other.left < b.right && b.top < other.foot && other.top < b.foot
}

// draw draws a mark of a kind.
func draw(on *canvas, kind MarkKind, x, y float64) {
	switch kind {
	case Served:
		on.path(trace([]spot{{x, y - 8}, {x + 5, y}, {x - 5, y}})+"Z", "mark served")
	case Found:
		on.path(trace([]spot{{x, y - 6}, {x + 6, y}, {x, y + 6}, {x - 6, y}})+"Z", "mark found")
	case Planned:
		on.line(x, y, x, y-16, "mark planned")
		on.path(trace([]spot{{x, y - 16}, {x + 9, y - 12.5}, {x, y - 9}})+"Z", "mark planned")
	default:
		on.circle(x, y, 4.5, "mark measured")
	}
}

// legend names the lines, where there is more than one.
func (c Course) legend(on *canvas) {
	if len(c.Lines) < 2 {
		return
	}
	at, foot := 8.0, float64(courseHeight-6)
	room := (courseWidth - 8) / float64(len(c.Lines))
	for i, line := range c.Lines {
		on.line(at, foot-4, at+18, foot-4, fmt.Sprintf("%s line-%d", either(line.Single, "thread", "likely"), i))
		if line.Single {
			shape(on, i, at+9, foot-4, fmt.Sprintf("point line-%d", i))
		}
		on.text(at+23, foot, "start", "words", shortened(line.Name, int((room-26)/6.6)))
		at += room
	}
}

// says tells where each line stands at its end, and what was found.
func (c Course) says(w Writing) string {
	var b strings.Builder
	for _, line := range c.Lines {
		if len(line.Points) == 0 {
			continue
		}
		last := line.Points[len(line.Points)-1]
		for _, p := range line.Points {
			if !c.Today.IsZero() && p.On <= c.Today {
				last = p
			}
		}
		b.WriteString(wording.StandsAt(cmp.Or(line.Name, wording.Likely), w.date(last.On), c.amount(w, last.Likely)))
		if last.High > last.Low {
			b.WriteString(", " + wording.FromTo(c.amount(w, last.Low), c.amount(w, last.High)))
		}
		b.WriteString(". ")
	}
	if c.Limit > 0 {
		b.WriteString(wording.TheLimitIs(cmp.Or(c.Limits, wording.Limit), c.amount(w, c.Limit)))
	}
	return strings.TrimSpace(b.String())
}

// amount writes a figure with its unit.
func (c Course) amount(w Writing, x float64) string {
	if c.Unit == "%" {
		return w.percent(x)
	}
	return strings.TrimSpace(w.rough(x) + " " + c.Unit)
}

// mostTableRows bounds the table beneath a course.
const mostTableRows = 18

func (c Course) table(w Writing) Table {
	t := Table{Head: []string{wording.Day, wording.What, wording.Likely, wording.Low, wording.High}}
	type row struct {
		on    record.Date
		cells []string
	}
	var rows []row
	for _, line := range c.Lines {
		for _, p := range thinned(line.Points, mostTableRows) {
			rows = append(rows, row{p.On, []string{w.date(p.On), cmp.Or(line.Name, wording.Forecast), c.amount(w, p.Likely), c.amount(w, p.Low), c.amount(w, p.High)}})
		}
	}
	for _, m := range c.Marks {
		value := ""
		if !math.IsNaN(m.Value) {
			value = c.amount(w, m.Value)
		}
		rows = append(rows, row{m.On, []string{w.date(m.On), m.Label, value, "", ""}})
	}
	slices.SortStableFunc(rows, func(a, b row) int { return cmp.Compare(a.on, b.on) })
	for _, r := range rows {
		t.Rows = append(t.Rows, r.cells)
	}
	return t
}

func either2(first bool, one, other float64) float64 {
	if first {
		return one
	}
	return other
}
