package shotlog

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/record"
	"limekeep/schedule/use"
)

// Question is something that a file leaves open, and that its owner must say
// before the rows are kept.
type Question struct {
	Row, Line int    // the first that raises it
	Rows      int    // how many do
	Text      string // what is open, with the column and what stands there
	Answer    string // what to pass to answer it
	Doses     bool   // it is what doses are of; else whether something is taken as it stands
}

// String is one line.
func (q Question) String() string {
	where := fmt.Sprintf("row %d", q.Row)
	if q.Line != q.Row+1 {
		where += fmt.Sprintf(" (line %d)", q.Line)
	}
	if q.Rows > 1 {
		where += fmt.Sprintf(" and %d more", q.Rows-1)
	}
	return fmt.Sprintf("%s: %s; %s", where, q.Text, q.Answer)
}

// QuestionsError says that a file cannot be kept before its questions are
// answered.
type QuestionsError struct {
	Questions []Question
}

// Error is one line of all questions.
func (e *QuestionsError) Error() string {
	texts := make([]string, len(e.Questions))
	for i, q := range e.Questions {
		texts[i] = q.String()
	}
	return "to be said first: " + strings.Join(texts, "; ")
}

// questions gathers what must be asked, once of each sort.
type questions struct {
	list  []Question
	sorts []string
}

// ask adds a question, or counts one more row for it.
func (q *questions) ask(sort string, asked Question) {
	if i := slices.Index(q.sorts, sort); i >= 0 {
		q.list[i].Rows++
		return
	}
	asked.Rows = 1
	q.sorts, q.list = append(q.sorts, sort), append(q.list, asked)
}

// sort puts the questions into the order of their rows.
func (q *questions) sort() {
	slices.SortStableFunc(q.list, func(a, b Question) int { return a.Row - b.Row })
}

// question looks at a row for what must be asked about it.
func (f *Log) question(row record.UseRow) {
	if f.options.Doses == AskDoses && row.Shots > 1 {
		f.askDoses(row)
	}
	if f.options.AsWritten || f.options.Machine == nil {
		return
	}
	for _, odd := range use.Unusual(row, *f.options.Machine) {
		ways, asWritten := f.options.ways(), f.options.ways().AsWritten()
		q := Question{Row: f.row, Line: f.line, Answer: asWritten}
		q.Text = fmt.Sprintf("%s: %s", f.fieldName(odd.Field), odd.What)
		switch odd.Sort {
		case use.MuchHotWater:
			q.Answer = fmt.Sprintf("write the unit in the header or the cell, or %s for millilitres; %s", ways.Tell("hot_water_ml", f.columnName(hotWaterColumn)), asWritten)
		case use.LittleHotWater:
			q.Answer = fmt.Sprintf("%s takes it for litres; %s", ways.Map("hot_water_l", f.columnName(hotWaterColumn)), asWritten)
		case use.Swapped:
			q.Answer = fmt.Sprintf("%s swaps them; %s", ways.Map("dose_g", f.columnName(yieldColumn), "yield_g", f.columnName(doseColumn)), asWritten)
		}
		f.asked.ask(odd.Sort.String(), q)
	}
}

// askDoses asks what the dose and the yield of a row of several shots are of,
// unless so little would be left for each shot that it can only be for each.
func (f *Log) askDoses(row record.UseRow) {
	for _, v := range []struct {
		column columnKind
		grams  float64
		least  float64
	}{{doseColumn, row.DoseGrams, use.LeastDoseGrams}, {yieldColumn, row.YieldGrams, use.LeastYieldGrams}} {
		if v.grams == 0 || v.grams/row.Shots < v.least {
			continue
		}
		f.asked.ask("doses", Question{Row: f.row, Line: f.line,
			Text:   fmt.Sprintf("%s: %g g in a row of %g shots may be of each shot or of all together", f.header.where(f.header.index(v.column)), v.grams, row.Shots),
			Answer: f.options.ways().Doses(), Doses: true})
		return
	}
}

// twice counts the minutes that have two rows, and the days without a time that come
// again after others.
type twice struct {
	timed, second int
	first         Question // about the first second row

	days, again int
	sameDay     bool // some day without a time has two rows
	last        record.Date
	firstAgain  Question
}

func (f *Log) countTwice(row record.UseRow) {
	t := &f.twice
	before := t.last
	t.last = row.Date
	t.sameDay = t.sameDay || row.Minute < 0 && row.Ordinal > 0
	switch {
	case row.Minute < 0 && row.Ordinal == 0:
		t.days++
	case row.Minute < 0 && row.Date != before:
		if t.again++; t.again == 1 {
			t.firstAgain = Question{Row: f.row, Line: f.line}
		}
	}
	if row.Minute < 0 {
		return
	}
	t.timed++
	if row.Ordinal == 1 {
		if t.second++; t.second == 1 {
			t.first = Question{Row: f.row, Line: f.line}
		}
	}
}

// askTwice asks whether the rows of a file are in it twice, where nearly all of
// its minutes have two, or nearly all of its days come again once they were over.
func (f *Log) askTwice() {
	const least = 3 // couples have their coffee together
	t := f.twice
	if f.options.AsWritten || f.options.Machine == nil {
		return
	}
	if t.second >= least && 2*t.second >= t.timed*9/10 {
		q := t.first
		q.Text, q.Answer = fmt.Sprintf("nearly every time of the file has two rows, %d of %d: they may be in it twice", t.second, t.timed-t.second), f.options.ways().AsWritten()
		f.asked.ask("twice", q)
	}
	if t.again >= least && t.again >= t.days*9/10 {
		q := t.firstAgain
		q.Text, q.Answer = fmt.Sprintf("nearly every day of the file comes again after others, %d of %d: they may be in it twice", min(t.again, t.days), t.days), f.options.ways().AsWritten()
		f.asked.ask("days twice", q)
	}
}

// fieldName names the column of a field as the file writes it.
func (f *Log) fieldName(field string) string {
	if field == "time" && !f.header.has(timeColumn) {
		field = "date"
	}
	if i := f.header.field(field); i >= 0 {
		return f.header.where(i)
	}
	return field
}

// columnName is the name that the file has for a column.
func (f *Log) columnName(column columnKind) string {
	if i := f.header.index(column); i >= 0 {
		return f.header.names[i]
	}
	return "NAME"
}
