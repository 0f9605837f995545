package picture

import (
	"cmp"
	"strings"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// Bars is an amount for each week or month, those to come with their spread.
type Bars struct {
	ID    string // its own on the page
	Title string
	Unit  string
	Bars  []Bar
}

// Bar is the amount of one period.
type Bar struct {
	From      record.Date // its first day
	Value     float64
	Low, High float64 // of one to come; equal where there is no spread
	ToCome    bool
}

// Draw draws the bars.
func (b Bars) Draw(w Writing) Picture {
	var on canvas
	most := 0.0
	for _, bar := range b.Bars {
		most = max(most, bar.Value, bar.High)
	}
	y := valuesUpTo(most, courseTop, courseFoot)
	frame := Course{Unit: b.Unit, Lines: []Line{{}}}
	x := days{left: 14 + 6.6*float64(frame.widest(w, y)), right: courseWidth - 8}
	if n := len(b.Bars); n > 0 {
		x.from, x.to = b.Bars[0].From, b.Bars[n-1].From+b.period()
	}
	frame.frame(&on, w, x, y)
	for _, bar := range b.Bars {
		left, right := x.at(bar.From), x.at(bar.From+b.period())
		gap := min(2, (right-left)/5)
		top := y.at(bar.Value)
		on.rect(left+gap, top, max(right-left-2*gap, 0.5), courseFoot-top, 0, either(bar.ToCome, "bar-to-come", "bar-past"))
		if bar.High > bar.Low {
			middle := (left + right) / 2
			on.line(middle, y.at(bar.Low), middle, y.at(bar.High), "spread line-0")
		}
	}
	b.legend(&on)
	return finish(&on, b.ID, "bars", b.Title, b.says(w), courseWidth, courseHeight, b.table(w))
}

// period is how many days a bar stands for.
func (b Bars) period() record.Date {
	if len(b.Bars) < 2 {
		return 7
	}
	return b.Bars[1].From - b.Bars[0].From
}

func (b Bars) legend(on *canvas) {
	to, past := false, false
	for _, bar := range b.Bars {
		to, past = to || bar.ToCome, past || !bar.ToCome
	}
	if !to || !past {
		return
	}
	foot := float64(courseHeight - 6)
	on.rect(8, foot-10, 12, 10, 0, "bar-past")
	on.text(25, foot, "start", "words", "was")
	on.rect(70, foot-10, 12, 10, 0, "bar-to-come")
	on.text(87, foot, "start", "words", wording.ToComeWithItsSpread)
}

func (b Bars) says(w Writing) string {
	if len(b.Bars) == 0 {
		return wording.NothingYet
	}
	var past, to []string
	for _, bar := range b.Bars {
		text := w.rough(bar.Value)
		if bar.ToCome {
			to = append(to, text)
		} else {
			past = append(past, text)
		}
	}
	text := wording.BarsPast(w.date(b.Bars[0].From), cmp.Or(b.Unit, wording.InNumbers), strings.Join(past, ", "))
	if len(past) == 0 {
		text = ""
	}
	if len(to) > 0 {
		text += " " + wording.BarsToCome(strings.Join(to, ", "))
	}
	return strings.TrimSpace(text)
}

func (b Bars) table(w Writing) Table {
	t := Table{Head: []string{wording.From, wording.AmountIn(b.Unit), wording.Low, wording.High}}
	for _, bar := range b.Bars {
		row := []string{w.date(bar.From), w.rough(bar.Value), "", ""}
		if bar.High > bar.Low {
			row[2], row[3] = w.rough(bar.Low), w.rough(bar.High)
		}
		if bar.ToCome {
			row[0] = wording.DayToCome(row[0])
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
