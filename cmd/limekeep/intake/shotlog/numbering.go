package shotlog

import (
	"fmt"

	"limekeep/schedule/record"
)

// running watches the columns of amounts for figures that only ever rise, or only ever
// fall: the number of the row, or a meter's reading, rather than what was drawn.
type running struct {
	rows  int // with a figure, so far
	last  float64
	rises int // 1 where it rose each time, -1 where it fell, 0 where neither
	first Question
}

// leastRunning is how many rows it takes for that to be no accident: six amounts of their
// own stand in one of the two orders once in 360 times.
const leastRunning = 6

// see takes the figure of one more row.
func (r *running) see(x float64, at Question) {
	if r.rows++; r.rows == 1 {
		r.first = at
	}
	way := 0
	switch {
	case x > r.last:
		way = 1
	case x < r.last:
		way = -1
	}
	if r.rows == 2 {
		r.rises = way
	} else if way != r.rises {
		r.rises = 0
	}
	r.last = x
}

// runs reports whether all that was seen ran one way.
func (r *running) runs() bool { return r.rows >= leastRunning && r.rises != 0 }

// seeRunning looks at the amounts of a row.
func (f *Log) seeRunning() {
	for i, column := range [...]columnKind{shotsColumn, hotWaterColumn} {
		if f.raw.at[column] > 0 {
			f.running[i].see(f.raw.figures[column], Question{Row: f.row, Line: f.line})
		}
	}
}

// askRunning asks about columns whose figures only ever ran one way.
func (f *Log) askRunning() {
	if f.options.AsWritten || f.options.Machine == nil {
		return
	}
	for i, column := range [...]columnKind{shotsColumn, hotWaterColumn} {
		if r := f.running[i]; r.runs() {
			q := r.first
			name := f.columnName(column)
			q.Text = fmt.Sprintf("%s: its figures only ever %s, over %d rows: they look like the number of the row or the reading of a meter", f.header.where(f.header.index(column)),
				map[int]string{1: "rise", -1: "fall"}[r.rises], r.rows)
			q.Answer = "pass the column over " + f.options.ways().PassOver(name) + "; " + f.options.ways().AsWritten()
			f.asked.ask("running "+name, q)
		}
	}
}

// lengths counts the times of the day that may be how long shots took: those within the
// first minutes of a day, with seconds or without.
type lengths struct {
	timed, short int
	first        Question
}

// mostLengthMinutes is up to which minute past midnight a time may be the seconds of a
// shot that are written 0:28.
const mostLengthMinutes = 59

// see takes the time of a row, -1 for none.
func (l *lengths) see(minute int, at Question) {
	if minute < 0 {
		return
	}
	l.timed++
	if minute > 0 && minute <= mostLengthMinutes {
		if l.short++; l.short == 1 {
			l.first = at
		}
	}
}

// askLengths asks whether the times of a file are how long its shots took, where all of
// them lie in the first hour of the day.
func (f *Log) askLengths() {
	const least = 2
	l := f.lengths
	if f.options.AsWritten || f.options.Machine == nil || l.short < least || l.short < l.timed || f.header.has(secondsColumn) {
		return
	}
	q, name := l.first, f.columnName(timeColumn)
	q.Text = fmt.Sprintf("%s: every time lies in the hour after midnight: they may be how long shots took", f.header.where(f.header.index(timeColumn)))
	q.Answer = f.options.ways().Map("seconds", name) + " takes them for that; " + f.options.ways().AsWritten()
	f.asked.ask("lengths", q)
}

// nothingSaid counts rows whose cell of shots is empty and that say nothing else of a shot.
type nothingSaid struct {
	rows  int
	first Question
}

// seeNothingSaid looks whether a row is one.
func (f *Log) seeNothingSaid(row record.UseRow) {
	if !f.header.has(shotsColumn) || f.raw.at[shotsColumn] > 0 || row.Minute >= 0 ||
		row.DoseGrams+row.YieldGrams+row.Seconds+row.Steamed+row.HotWaterLitres > 0 || row.Grind+row.Drink+row.Beans+row.Note != "" {
		return
	}
	if f.nothing.rows++; f.nothing.rows == 1 {
		f.nothing.first = Question{Row: f.row, Line: f.line}
	}
}

// askNothingSaid asks about such rows in a file of sums of days, a row a day and none with a
// time: there they are days without a shot rather than with one.
func (f *Log) askNothingSaid() {
	if f.options.AsWritten || f.options.Machine == nil || f.nothing.rows == 0 || f.twice.timed > 0 || f.twice.sameDay {
		return
	}
	q := f.nothing.first
	q.Text = f.header.where(f.header.index(shotsColumn)) + ": nothing is given, and nothing else tells of a shot"
	q.Answer = "write 0 for a day without any; " + f.options.ways().AsWritten() + ", as one shot"
	f.asked.ask("nothing said", q)
}
