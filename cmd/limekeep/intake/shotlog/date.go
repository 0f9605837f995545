package shotlog

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"limekeep/schedule/record"
)

// DayOrder is how the days of a file are written.
type DayOrder int

// Orders of day, month and year.
const (
	AnyOrder   DayOrder = iota // not settled: only years first can be read
	YearFirst                  // 2026-03-31
	DayFirst                   // 31.03.2026, 31/3/2026
	MonthFirst                 // 3/31/2026
	Serial1900                 // 46083: a spreadsheet's, 1 for 1900-01-01
	Serial1904                 // 44621: the same of those that begin with 0 for 1904-01-01
)

var orderNames = map[string]DayOrder{"year-first": YearFirst, "day-first": DayFirst, "month-first": MonthFirst, "serial-1900": Serial1900, "serial-1904": Serial1904}

// ParseDayOrder reads the name of an order, such as day-first.
func ParseDayOrder(name string) (DayOrder, bool) {
	order, ok := orderNames[name]
	return order, ok
}

// String names the order as the option does.
func (o DayOrder) String() string {
	for name, order := range orderNames {
		if order == o {
			return name
		}
	}
	return "not settled"
}

// writtenDate is a date taken apart, before it is settled which of two numbers
// is the day.
type writtenDate struct {
	first, second, year int
	yearFirst           bool
	dotted              bool // with dots, which is always day first (common practice)
	shortYear           bool // of two digits
}

// splitDate takes a date of three numbers apart.
func splitDate(cell []byte) (writtenDate, bool) {
	i := bytes.IndexAny(cell, "-/.")
	if i < 1 || i > 4 {
		return writtenDate{}, false
	}
	mark := cell[i]
	rest := cell[i+1:]
	j := bytes.IndexByte(rest, mark)
	if j < 1 {
		return writtenDate{}, false
	}
	a, okA := smallNumber(cell[:i])
	b, okB := smallNumber(rest[:j])
	c, okC := smallNumber(rest[j+1:])
	last := len(rest) - j - 1
	switch {
	case !okA || !okB || !okC:
		return writtenDate{}, false
	case i == 4 && last <= 2:
		return writtenDate{first: b, second: c, year: a, yearFirst: true}, true
	case i <= 2 && last == 4:
		return writtenDate{first: a, second: b, year: c, dotted: mark == '.'}, true
	case i <= 2 && last == 2: // a year of two digits: this century
		return writtenDate{first: a, second: b, year: 2000 + c, dotted: mark == '.', shortYear: true}, true
	}
	return writtenDate{}, false
}

func smallNumber(b []byte) (int, bool) {
	if len(b) == 0 || len(b) > 4 {
		return 0, false
	}
	n := 0
	for _, c := range b {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, true
}

// date puts the numbers in order; false where there is no such day.
func (w writtenDate) date(order DayOrder) (record.Date, bool) {
	day, month := w.second, w.first
	if !w.yearFirst && (w.dotted || order == DayFirst) {
		day, month = w.first, w.second
	}
	if month < 1 || month > 12 || day < 1 || day > 31 || w.year < 1 {
		return 0, false
	}
	d := record.NewDate(w.year, time.Month(month), day)
	return d, day <= 28 || record.NewDate(w.year, time.Month(month), 1).AddMonths(1) > d
}

// splitInstant parts a date from the time behind it.
func splitInstant(cell []byte) (date, clock []byte) {
	if i := bytes.IndexAny(cell, " T"); i > 0 {
		return bytes.TrimRight(cell[:i], ","), bytes.TrimSpace(cell[i+1:])
	}
	return cell, nil
}

// withoutWeekday cuts the name of a weekday off that stands before a date.
func withoutWeekday(cell []byte) []byte {
	if len(cell) == 0 || digit(cell[0]) {
		return cell
	}
	word, rest, _ := bytes.Cut(cell, []byte{' '})
	if rest = bytes.TrimSpace(rest); len(rest) == 0 || !digit(rest[0]) {
		return cell
	}
	name := withoutAccents.Replace(strings.ToLower(string(bytes.TrimRight(word, ",."))))
	if _, isMonth := monthNames[name]; isMonth || !slices.Contains(dayWords, name) {
		return cell
	}
	return rest
}

// parseDate reads a day, or a day with a time of the place's clock.
func (f *Log) parseDate(row *record.UseRow, i int, cell []byte) error {
	refuse := func(want string) error {
		return &record.FieldError{Field: f.header.where(i), Value: string(cell), Want: want}
	}
	cell = withoutWeekday(plainDate(cell))
	text, clock := splitInstant(cell)
	w, ok := splitDate(text)
	if !ok {
		date, minute, what := parseOther(cell, f.options.Zone)
		if what == aSerial {
			date = f.fromEpoch(date)
		}
		if what == notADate {
			if f.order == DayFirst || f.order == MonthFirst {
				return refuse(fmt.Sprintf("a day that there is; this file's are read %s", f.order))
			}
			return refuse("a day such as 2026-03-31, or with a time, 2026-03-31 07:40")
		}
		row.Date = date
		f.raw.minute[0] = minute
		return nil
	}
	if len(clock) > 0 {
		if date, minute, ok := parseOffset(cell, f.options.Zone); ok {
			row.Date = date
			f.raw.minute[0] = minute
			return nil
		}
		minute, ok := parseClock(clock)
		if !ok {
			return refuse("a time of the day behind the day, such as 2026-03-31 07:40")
		}
		f.raw.minute[0] = minute
	}
	if len(text) == len(f.lastDate.text) && f.lastDate.date != 0 && bytes.Equal(text, f.lastDate.text[:]) {
		row.Date = f.lastDate.date
		return nil
	}
	if row.Date, ok = w.date(f.order); !ok {
		if f.order == DayFirst || f.order == MonthFirst {
			return refuse(fmt.Sprintf("a day that there is; this file's are read %s", f.order))
		}
		return refuse("a day such as 2026-03-31, or with a time, 2026-03-31 07:40")
	}
	if !w.yearFirst && !w.dotted && f.order != DayFirst && f.order != MonthFirst && w.first != w.second {
		return refuse("a day written as in the rows before it, or " + f.options.ways().DateOrder())
	}
	if len(text) == len(f.lastDate.text) {
		copy(f.lastDate.text[:], text)
		f.lastDate.date = row.Date
	}
	return nil
}

// orderFinder looks through the dates of a whole file for what settles the order
// of its days and months.
type orderFinder struct {
	dayRow, monthRow   int // rows that only one order can explain, 0 for none
	dayText, monthText string
	open               int // rows that either order explains
	openRow            int
	openText           string
	// The first numbers of dates whose year has two digits: the years may stand
	// there as well, where none of them is too small for that.
	short      int
	leastFirst int
	shortText  string
}

// leastShortYear is the earliest year that a log may begin with two digits of
// (assumption).
const leastShortYear = 10

// see takes the date of a row.
func (f *orderFinder) see(row int, cell []byte) {
	text, _ := splitInstant(withoutWeekday(plainDate(bytes.TrimSpace(cell))))
	w, ok := splitDate(text)
	if !ok || w.yearFirst || w.dotted {
		return
	}
	if w.shortYear {
		if f.short++; f.short == 1 || w.first < f.leastFirst {
			f.leastFirst, f.shortText = w.first, string(text)
		}
	}
	switch {
	case w.first > 12 && f.dayRow == 0:
		f.dayRow, f.dayText = row, string(text)
	case w.second > 12 && w.first <= 12 && f.monthRow == 0:
		f.monthRow, f.monthText = row, string(text)
	case w.first != w.second && w.first <= 12 && w.second <= 12:
		if f.open++; f.openRow == 0 {
			f.openRow, f.openText = row, string(text)
		}
	}
}

// order gives what the dates settle.
func (f *orderFinder) order(ways Ways) (DayOrder, error) {
	switch {
	case f.short > 0 && f.leastFirst >= leastShortYear && f.monthRow == 0:
		return 0, &record.FieldError{Field: "date", Value: f.shortText, Want: "years of four digits, or " + ways.YearPlace() + ": whether the year stands first or last no date of the file tells"}
	case f.dayRow > 0 && f.monthRow > 0:
		return 0, &record.FieldError{Field: "date", Value: f.dayText + " (row " + strconv.Itoa(f.dayRow) + ") and " + f.monthText + " (row " + strconv.Itoa(f.monthRow) + ")",
			Want: "dates that all have the day first or all the month"}
	case f.dayRow > 0:
		return DayFirst, nil
	case f.monthRow > 0:
		return MonthFirst, nil
	case f.open > 0:
		return 0, &record.FieldError{Field: "date", Value: f.openText + " (row " + strconv.Itoa(f.openRow) + ")",
			Want: ways.DateOrder() + ", since no date of the file tells which"}
	}
	return YearFirst, nil
}
