package picture

import (
	"strings"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// Window is a line of dates: between which days something falls due, and what is
// planned. A date that is zero lies beyond what can be foreseen.
type Window struct {
	ID                  string // its own on the page
	Title               string
	Today               record.Date
	Last                record.Date // the last service; zero for none
	Early, Likely, Late record.Date
	Planned             record.Date // the sitting or visit; zero for none
}

// Sizes of a window's drawing.
const (
	windowHeight = 112
	windowAxis   = 62
)

// Draw draws the line of dates.
func (p Window) Draw(w Writing) Picture {
	var on canvas
	x := p.axis()
	on.line(x.left, windowAxis, x.right, windowAxis, "axis")
	dayNames(&on, w, x, windowAxis+12)
	p.window(&on, x)
	if !p.Last.IsZero() && p.Last >= x.from {
		draw(&on, Served, x.at(p.Last), windowAxis-1)
		on.text(min(max(x.at(p.Last), 14), courseWidth-14), windowAxis-14, "middle", "words halo", wording.Last)
	}
	at := x.at(p.Today)
	on.line(at, windowAxis-20, at, windowAxis+12, "today")
	if p.Planned.IsZero() || x.at(p.Planned)-at > 44 || at < 44 {
		on.text(min(max(at, 18), courseWidth-18), windowAxis-24, "middle", "words halo", wording.TodayMark)
	} else { // the two words would run into each other
		on.text(min(at-4, either2(x.at(p.Planned) > courseWidth-60, x.at(p.Planned)-58, at)), windowAxis-24, "end", "words halo", wording.TodayMark)
	}
	if !p.Planned.IsZero() {
		at := x.at(p.Planned)
		draw(&on, Planned, at, windowAxis-9)
		anchor := either(at > courseWidth-60, "end", "start")
		on.text(at+either2(anchor == "end", -4, 12), windowAxis-44+20, anchor, "words halo strong", wording.Planned)
	}
	return finish(&on, p.ID, "window", p.Title, p.says(w), courseWidth, windowHeight-12, p.table(w))
}

// axis reaches from a little before the first of the dates to a little after the
// last.
func (p Window) axis() days {
	from, to := p.Today, p.Today
	for _, d := range []record.Date{p.Early, p.Likely, p.Late, p.Planned} {
		if !d.IsZero() {
			from, to = min(from, d), max(to, d)
		}
	}
	if !p.Last.IsZero() {
		from = max(min(from, p.Last), p.Today-(to-p.Today)-60)
	}
	if p.Late.IsZero() {
		to += max((to-from)/3, 180)
	}
	around := max((to-from)/20, 3)
	return days{from: from - around, to: to + around, left: 8, right: courseWidth - 8}
}

func (p Window) window(on *canvas, x days) {
	if p.Early.IsZero() {
		arrow(on, x.right)
		return
	}
	early, late := x.at(p.Early), x.right
	if !p.Late.IsZero() {
		late = x.at(p.Late)
	}
	on.rect(early, windowAxis-7, max(late-early, 2), 14, 3, "band line-0")
	on.line(early, windowAxis-9, early, windowAxis+9, "likely line-0")
	if p.Late.IsZero() {
		arrow(on, x.right)
	} else {
		on.line(late, windowAxis-9, late, windowAxis+9, "likely line-0")
	}
	if !p.Likely.IsZero() {
		shape(on, 2, x.at(p.Likely), windowAxis, "point line-0")
	}
}

// arrow says that it goes on.
func arrow(on *canvas, right float64) {
	on.path(trace([]spot{{right - 8, windowAxis - 6}, {right, windowAxis}, {right - 8, windowAxis + 6}}), "likely line-0")
}

func (p Window) rows(w Writing) [][]string {
	beyond := func(d record.Date) string {
		if d.IsZero() {
			return wording.BeyondWhatCanBeForeseen
		}
		return w.date(d)
	}
	rows := [][]string{{wording.EarlyDay, beyond(p.Early)}, {wording.LikelyDay, beyond(p.Likely)}, {wording.LateDay, beyond(p.Late)}}
	if !p.Planned.IsZero() {
		rows = append(rows, []string{wording.Planned, w.date(p.Planned)})
	}
	if !p.Last.IsZero() {
		rows = append(rows, []string{wording.LastDone, w.date(p.Last)})
	}
	return rows
}

func (p Window) table(w Writing) Table {
	return Table{Head: []string{wording.Date, wording.Day}, Rows: p.rows(w)}
}

func (p Window) says(w Writing) string {
	var parts []string
	for _, row := range p.rows(w) {
		parts = append(parts, strings.Join(row, ": "))
	}
	text := strings.Join(parts, "; ")
	return strings.ToUpper(text[:1]) + text[1:] + "."
}
