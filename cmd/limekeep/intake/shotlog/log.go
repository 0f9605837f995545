// Package shotlog reads the logs of shots that people keep in spreadsheets and
// apps. What a file leaves open, such as which of two numbers is the day, is
// looked for in all of it; what nothing settles is asked about and never
// guessed. Errors and questions name the row and the column, and the flags of
// the command that imports a log where one helps.
package shotlog

import (
	"bytes"
	"errors"
	"io"
	"iter"
	"slices"
	"time"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Log is a shot log, a CSV file of use, that was opened and whose header was
// understood. Its rows are read once.
type Log struct {
	in       io.Reader
	reader   *csvfile.Reader
	header   header
	order    DayOrder
	options  Options
	writing  writing // how the file writes numbers and times, as far as is known
	words    interner
	counts   instantCounts
	raw      rawRow // of the row being read
	sums     sums
	asked    questions
	passed   passedOver
	twice    twice
	running  [2]running // figures of shots and of hot water
	lengths  lengths
	nothing  nothingSaid
	ahead    []readAhead // that were read to find out about dates, and are still to come
	row      int         // the number of the record handed out last, from 1
	line     int         // on which it begins
	lastDate struct {    // the date of the row before, as it was written
		text [10]byte
		date record.Date
	}
}

// Options say how a shot log is to be read. The zero value finds out, and takes
// nothing for unusual.
type Options struct {
	Mapped    map[string]string // from our name of a column to the file's
	Ignore    []string          // names in the file that are passed over; "*" is every name not known
	Order     DayOrder          // of dates in numbers; AnyOrder finds out
	Mark      figure.Mark       // that parts decimals; figure.Either finds out
	Doses     Doses             // what a dose and a yield are of, in a row of several shots
	HabitDose bool              // an empty dose is the habit's
	Zone      *time.Location    // whose clock instants with an offset are put on; nil is UTC
	Today     record.Date       // no row is later; the zero date: any may be
	Machine   *record.Machine   // what is unusual is told by it; nil: nothing is
	AsWritten bool              // what is unusual is taken as it stands
	Preview   bool              // questions are kept, and do not end the rows with an error
	Ways      Ways              // how what is open is answered; by flags of the command where nil
}

// Doses says what a dose and a yield are of, in a row of several shots.
type Doses int

// What doses are of. With AskDoses they are taken for those of each shot, and
// asked about where they could be those of all together.
const (
	AskDoses Doses = iota
	EachShot
	AllTogether
)

// Open understands the beginning of a file. Where its dates may be read two ways
// it goes through the file once to find out, and back to where it was.
func Open(r io.Reader, options Options) (*Log, error) {
	if options.Zone == nil {
		options.Zone = time.UTC
	}
	f := &Log{in: r, options: options, words: interner{}, order: options.Order}
	f.writing.settle(options.Mark)
	if err := f.begin(); err != nil {
		return nil, err
	}
	switch f.order {
	case AnyOrder:
		return f, f.findOrder()
	case Serial1900, Serial1904:
		f.writing.epoch, f.order = f.order, YearFirst
	}
	return f, nil
}

// begin reads the header.
func (f *Log) begin() error {
	var err error
	if f.reader, err = csvfile.Open(f.in); err != nil {
		return err
	}
	f.header, err = readHeader(f.reader, f.options)
	f.passed.titles = f.header.titles
	return err
}

// readAhead is what the reader gave.
type readAhead struct {
	cells [][]byte
	line  int
	err   error
}

// read returns the next record.
func (f *Log) read() ([][]byte, error) {
	f.row++
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

// readText reads a record and sees that it is text.
func readText(r *csvfile.Reader) ([][]byte, error) {
	cells, err := r.Read()
	if err == nil {
		err = csvfile.CheckText(cells)
	}
	return cells, err
}

// lookAhead reads records up to the first with a date, or some, and keeps them
// for later. It returns the date.
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
			if cell := withoutWeekday(bytes.TrimSpace(r.cells[column])); len(cell) > 0 && digit(cell[0]) {
				return cell
			}
		}
	}
	return nil
}

// findOrder settles how the file's dates are written.
func (f *Log) findOrder() error {
	column := slices.Index(f.header.columns, dateColumn)
	text, _ := splitInstant(f.lookAhead(column))
	if w, ok := splitDate(text); !ok || w.yearFirst || w.dotted {
		f.order = YearFirst // what is no date is named when it is read
		return nil
	}
	if f.survey() {
		order, err := f.writing.dates.order(f.options.ways())
		f.order = order
		return err
	}
	// Through a pipe it is seen whether the rest would have told.
	var dates orderFinder
	for row := 1; ; row++ {
		cells, err := f.read()
		if err != nil || column >= len(cells) {
			break
		}
		dates.see(row, cells[column])
	}
	if _, err := dates.order(f.options.ways()); err != nil {
		return err
	}
	return &record.FieldError{Field: "--dates", Want: "day-first or month-first: what comes through a pipe cannot be looked through first"}
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
// counted from 1 below the header, and the column. Where something must be asked
// first, a *QuestionsError ends it after the last row. told hears, now and then,
// how many bytes are read.
func (f *Log) Rows(told func(bytes int64)) iter.Seq2[record.UseRow, error] {
	const rowsBetween = 4096
	return func(yield func(record.UseRow, error) bool) {
		read := 0
		for {
			cells, err := f.read()
			if errors.Is(err, io.EOF) {
				if err := f.finish(read); err != nil {
					yield(record.UseRow{}, err)
				}
				return
			}
			var row record.UseRow
			taken := false
			if err == nil {
				taken, err = f.parse(&row, cells)
			}
			if err != nil {
				yield(row, &schedule.RowError{Row: f.row, Line: f.line, Err: err})
				return
			}
			if !taken {
				continue
			}
			read++
			row.Ordinal = f.counts.next(row.Date, row.Minute)
			f.countTwice(row)
			f.seeRunning()
			f.seeNothingSaid(row)
			if f.header.has(timeColumn) {
				f.lengths.see(row.Minute, Question{Row: f.row, Line: f.line})
			}
			f.question(row)
			if f.row%rowsBetween == 0 {
				told(f.reader.Taken())
			}
			if !yield(row, nil) {
				return
			}
		}
	}
}

// finish looks at what the file came to once all rows are read.
func (f *Log) finish(read int) error {
	if read == 0 {
		return &record.FieldError{Field: "file", Want: "at least one row below the header"}
	}
	f.askTwice()
	f.askRunning()
	f.askLengths()
	f.askNothingSaid()
	if w := f.writing; !w.surveyed && w.timed > 1 && w.midday == 0 && f.options.Machine != nil && !f.options.AsWritten {
		f.asked.ask("midnight", Question{Row: 1, Line: 2, Text: "every time is midnight", Answer: "import the file itself, not through a pipe, so that days alone are taken; " + f.options.ways().AsWritten()})
	}
	f.asked.sort()
	if len(f.asked.list) > 0 && !f.options.Preview {
		return &QuestionsError{f.asked.list}
	}
	return nil
}

// Order returns how the file's dates are read; AnyOrder and YearFirst leave
// nothing to settle.
func (f *Log) Order() DayOrder { return f.order }

// Columns tells how each column was understood, for people.
func (f *Log) Columns() string { return f.header.lists() }

// Understood tells the same column by column.
func (f *Log) Understood() []Understood { return f.header.understood() }

// Questions lists what must be answered before the rows can be kept. It is
// complete once they were read.
func (f *Log) Questions() []Question { return f.asked.list }

// Notes lists what was passed over or settled by the way, for people. It is
// complete once the rows were read.
func (f *Log) Notes() []string { return slices.Concat(f.passed.notes(), f.writing.notes()) }

// Locate names the column of an error of a row that names a field, and its line.
func (f *Log) Locate(err error) error {
	var row *schedule.RowError
	if !errors.As(err, &row) {
		return err
	}
	located := *row
	located.Row = f.row
	located.Err = f.header.locate(row.Err)
	if located.Line == 0 {
		located.Line = f.line
	}
	return &located
}
