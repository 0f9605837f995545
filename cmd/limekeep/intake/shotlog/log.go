// Package shotlog reads the logs of shots that people keep in spreadsheets and
// apps. Its errors name the row and the column, and the flags of the command
// that imports a log where one helps.
package shotlog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"time"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

// Log is a shot log, a CSV file of use, that was opened and whose header was
// understood. Its rows are read once.
type Log struct {
	reader  *csvfile.Reader
	header  header
	order   DayOrder
	options Options
	words   interner
	counts  instantCounts
	ahead   []readAhead // that were read to find out about dates, and are still to come
	line    int         // on which the last record handed out begins
	last    struct {    // the date of the row before, as it was written
		text [10]byte
		date record.Date
	}
}

// Options say how a shot log is to be read. The zero value finds out.
type Options struct {
	Mapped    map[string]string // from our name of a column to the file's
	Ignore    []string          // names in the file that are passed over; "*" is every name not known
	Order     DayOrder          // of dates in numbers; AnyOrder finds out
	HabitDose bool              // an empty dose is the habit's
	Zone      *time.Location    // whose clock instants with an offset are put on; nil is UTC
}

// Open understands the beginning of a file. Where its dates may be read
// two ways it goes through them once to find out, and back to the beginning.
func Open(r io.Reader, options Options) (*Log, error) {
	if options.Zone == nil {
		options.Zone = time.UTC
	}
	f := &Log{options: options, words: interner{}, order: options.Order}
	if err := f.begin(r); err != nil {
		return nil, err
	}
	if f.order != AnyOrder {
		return f, nil
	}
	settled, err := f.findOrder()
	if err != nil || settled {
		return f, err
	}
	seeker, ok := r.(io.Seeker)
	if ok {
		_, err = seeker.Seek(0, io.SeekStart)
	}
	if !ok || err != nil {
		return nil, &record.FieldError{Field: "--dates", Want: "day-first or month-first: what comes through a pipe cannot be looked through first"}
	}
	return f, f.begin(r)
}

// begin reads the header.
func (f *Log) begin(r io.Reader) error {
	var err error
	if f.reader, err = csvfile.Open(r); err != nil {
		return err
	}
	f.header, err = readHeader(f.reader, f.options)
	return err
}

// readAhead is what the reader gave.
type readAhead struct {
	cells [][]byte
	line  int
	err   error
}

// read gives the next record.
func (f *Log) read() ([][]byte, error) {
	if len(f.ahead) > 0 {
		r := f.ahead[0]
		f.ahead = f.ahead[1:]
		f.line = r.line
		return r.cells, r.err
	}
	cells, err := readText(f.reader)
	f.line = f.reader.Line()
	return cells, err
}

// lookAhead reads records up to the first with a date, or some, and keeps them
// for later. It gives the date.
func (f *Log) lookAhead(column int) []byte {
	const most = 64
	for range most {
		cells, err := readText(f.reader)
		r := readAhead{line: f.reader.Line(), err: err}
		for _, c := range cells {
			r.cells = append(r.cells, bytes.Clone(c))
		}
		f.ahead = append(f.ahead, r)
		if err != nil {
			break
		}
		if column < len(r.cells) {
			if cell := bytes.TrimSpace(r.cells[column]); len(cell) > 0 {
				return cell
			}
		}
	}
	return nil
}

// findOrder settles how the file's dates are written. It gives true where the
// first date tells by itself, so that the file can be read on from there.
func (f *Log) findOrder() (bool, error) {
	column := slices.Index(f.header.columns, dateColumn)
	text, _ := splitInstant(f.lookAhead(column))
	if w, ok := splitDate(text); !ok || w.yearFirst || w.dotted {
		f.order = YearFirst // what is no date is named when it is read
		return true, nil
	}
	var finder orderFinder
	for row := 1; ; row++ {
		cells, err := f.read()
		if err != nil || column >= len(cells) {
			break // at the end, or at what the reading proper says is wrong
		}
		finder.see(row, cells[column])
	}
	f.ahead = nil
	order, err := finder.order()
	f.order = order
	return false, err
}

// About tells the use cases what the columns say and what they leave open.
func (f *Log) About() schedule.UseFile {
	return schedule.UseFile{
		MilkUnsaid:     !f.header.has(steamedColumn),
		HotWaterUnsaid: !f.header.has(hotWaterColumn),
		Drinks:         f.header.has(drinkColumn),
	}
}

// Rows reads the file row by row. The first error ends it; it names the row,
// counted from 1 below the header, and the column. told hears, now and then,
// how many bytes are read.
func (f *Log) Rows(told func(bytes int64)) iter.Seq2[record.UseRow, error] {
	const rowsBetween = 4096
	return func(yield func(record.UseRow, error) bool) {
		read := 0
		for n := 1; ; n++ {
			cells, err := f.read()
			if errors.Is(err, io.EOF) {
				if read == 0 {
					yield(record.UseRow{}, &record.FieldError{Field: "file", Want: "at least one row below the header"})
				}
				return
			}
			var row record.UseRow
			empty := false
			if err == nil {
				empty, err = f.parse(&row, cells)
			}
			if err != nil {
				yield(row, &schedule.RowError{Row: n, Line: f.line, Err: err})
				return
			}
			if empty {
				continue
			}
			read++
			row.Ordinal = f.counts.next(row.Date, row.Minute)
			if n%rowsBetween == 0 {
				told(f.reader.Taken())
			}
			if !yield(row, nil) {
				return
			}
		}
	}
}

// readText reads a record and sees that it is text.
func readText(r *csvfile.Reader) ([][]byte, error) {
	cells, err := r.Read()
	if err == nil {
		err = csvfile.CheckText(cells)
	}
	return cells, err
}

// Order returns how the file's dates are read; AnyOrder and YearFirst leave
// nothing to settle.
func (f *Log) Order() DayOrder { return f.order }

// Columns tells how each column was understood, for people.
func (f *Log) Columns() string { return f.header.lists() }

// Locate names the column of an error of a row that names a field, and its line.
func (f *Log) Locate(err error) error {
	var row *schedule.RowError
	if !errors.As(err, &row) {
		return err
	}
	located := *row
	located.Err = f.header.locate(row.Err)
	if located.Line == 0 {
		located.Line = f.line
	}
	return &located
}

// parse reads the cells of a row; empty tells that none of them holds anything.
func (f *Log) parse(row *record.UseRow, cells [][]byte) (empty bool, err error) {
	if len(cells) != len(f.header.columns) {
		if cells, err = f.trim(cells); err != nil {
			return false, err
		}
	}
	row.Minute, row.Shots = -1, 1
	filled := 0
	for i, column := range f.header.columns {
		cell := bytes.TrimSpace(cells[i])
		if len(cell) == 0 {
			continue
		}
		filled++
		if c := cell[0]; (c == '=' || c == '@' || c == '#') && column != skippedColumn && formula(cell) {
			return false, formulaError(f.header.where(i), cell)
		}
		if err := f.parseCell(row, column, i, cell); err != nil {
			return false, err
		}
	}
	if filled == 0 {
		return true, nil
	}
	for i, column := range f.header.columns {
		switch {
		case column == dateColumn && row.Date.IsZero():
			return false, &record.FieldError{Field: f.header.where(i), Want: "a day such as 2026-03-31, or with a time, 2026-03-31 07:40"}
		case column == doseColumn && row.DoseGrams == 0 && row.Shots > 0 && !f.options.HabitDose:
			return false, &record.FieldError{Field: f.header.where(i), Want: "the dry coffee in grams, or --habit-dose to take the habit's dose where none stands"}
		}
	}
	return false, nil
}

// trim brings a row to the width of the header where it is only longer by empty
// cells.
func (f *Log) trim(cells [][]byte) ([][]byte, error) {
	width := len(f.header.columns)
	long := len(cells) > width && len(bytes.TrimSpace(bytes.Join(cells[width:], nil))) == 0
	if !long {
		return nil, &record.FieldError{Field: "row", Value: fmt.Sprintf("%d cells", len(cells)), Want: fmt.Sprintf("%d cells, as many as the header has", width)}
	}
	return cells[:width], nil
}

func (f *Log) parseCell(row *record.UseRow, column columnKind, i int, cell []byte) error {
	var ok bool
	want := "a number"
	switch column {
	case dateColumn:
		return f.parseDate(row, i, cell)
	case timeColumn:
		row.Minute, ok = parseClock(cell)
		want = "a time of the day, such as 07:40 or 7:40 am"
	case shotsColumn:
		row.Shots, ok = ParseFigure(cell)
	case doseColumn:
		row.DoseGrams, ok = ParseFigure(cell, "g")
	case yieldColumn:
		row.YieldGrams, ok = ParseFigure(cell, "g")
	case secondsColumn:
		row.Seconds, ok = parseSeconds(cell)
		want = "a number of seconds, or minutes and seconds such as 0:28"
	case steamedColumn:
		row.Steamed, ok = ParseFigure(cell)
	case hotWaterColumn:
		row.HotWaterLitres, ok = ParseFigure(cell, "l")
	case grindColumn:
		row.Grind, ok = f.words.text(cell), true
	case drinkColumn:
		row.Drink, ok = f.words.text(cell), true
	case beansColumn:
		row.Beans, ok = f.words.text(cell), true
	case noteColumn:
		row.Note, ok = string(cell), true
	default:
		return nil
	}
	if !ok {
		return &record.FieldError{Field: f.header.where(i), Value: string(cell), Want: want}
	}
	return nil
}

// parseDate reads a day, or a day with a time of the place's clock.
func (f *Log) parseDate(row *record.UseRow, i int, cell []byte) error {
	text, clock := splitInstant(cell)
	if len(clock) > 0 {
		if date, minute, ok := parseOffset(cell, f.options.Zone); ok {
			row.Date, row.Minute = date, minute
			return nil
		}
		minute, ok := parseClock(clock)
		if !ok {
			return &record.FieldError{Field: f.header.where(i), Value: string(cell), Want: "a time of the day behind the day, such as 2026-03-31 07:40"}
		}
		row.Minute = minute
	}
	if len(text) == len(f.last.text) && f.last.date != 0 && bytes.Equal(text, f.last.text[:]) {
		row.Date = f.last.date
		return nil
	}
	w, ok := splitDate(text)
	if ok {
		if row.Date, ok = w.date(f.order); ok && !w.yearFirst && !w.dotted && f.order != DayFirst && f.order != MonthFirst && w.first != w.second {
			return &record.FieldError{Field: f.header.where(i), Value: string(cell), Want: "a day written as in the rows before it, or --dates day-first or month-first"}
		}
	}
	if !ok {
		want := "a day such as 2026-03-31, or with a time, 2026-03-31 07:40"
		if f.order == DayFirst || f.order == MonthFirst {
			want = fmt.Sprintf("a day that there is; this file's are read %s", f.order)
		}
		return &record.FieldError{Field: f.header.where(i), Value: string(cell), Want: want}
	}
	if len(text) == len(f.last.text) {
		copy(f.last.text[:], text)
		f.last.date = row.Date
	}
	return nil
}

// instantCounts numbers the rows of one and the same instant, which are told
// apart by their order. It holds the days that were met last, so that a file
// need not be in the order of time.
type instantCounts struct {
	days map[record.Date]*[1441]int32
	date record.Date
	day  *[1441]int32
}

// mostCountedDays bounds the days held.
const mostCountedDays = 64

// next gives the number of the next row of an instant.
func (c *instantCounts) next(date record.Date, minute int) int {
	if c.day == nil || date != c.date {
		if c.days == nil {
			c.days = map[record.Date]*[1441]int32{}
		}
		day, ok := c.days[date]
		if !ok {
			if len(c.days) >= mostCountedDays {
				clear(c.days)
			}
			day = new([1441]int32)
			c.days[date] = day
		}
		c.date, c.day = date, day
	}
	n := c.day[minute+1]
	c.day[minute+1]++
	return int(n)
}
