package shotlog

import (
	"bytes"
	"strconv"
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
)

var orderNames = map[string]DayOrder{"year-first": YearFirst, "day-first": DayFirst, "month-first": MonthFirst}

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
		return writtenDate{first: a, second: b, year: 2000 + c, dotted: mark == '.'}, true
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
		return cell[:i], bytes.TrimSpace(cell[i+1:])
	}
	return cell, nil
}

// parseClock reads a time of the day: 7:40, 07:40:12.5, 7:40 pm, 7.40 p.m. It
// gives the minute of the day.
func parseClock(cell []byte) (int, bool) {
	cell, half := cutHalfOfDay(cell)
	i := bytes.IndexAny(cell, ":.")
	if i < 0 {
		if hour, ok := smallNumber(cell); ok && half != 0 && len(cell) <= 2 { // 7 pm
			return clockMinute(hour, 0, half)
		}
		return 0, false
	}
	mark, rest := cell[i], cell[i+1:]
	seconds := []byte("0")
	if j := bytes.IndexByte(rest, mark); j >= 0 {
		rest, seconds = rest[:j], rest[j+1:]
	}
	hour, okH := smallNumber(cell[:i])
	minute, okM := smallNumber(rest)
	s, okS := ParseFigure(seconds)
	if !okH || !okM || !okS || len(rest) != 2 || minute > 59 || s >= 61 {
		return 0, false
	}
	return clockMinute(hour, minute, half)
}

// cutHalfOfDay takes am or pm off a time: 'a', 'p', or 0 for neither.
func cutHalfOfDay(cell []byte) ([]byte, byte) {
	for _, suffix := range []string{"am", "a.m.", "pm", "p.m."} {
		if n := len(cell) - len(suffix); n > 0 && bytes.EqualFold(cell[n:], []byte(suffix)) {
			return bytes.TrimSpace(cell[:n]), suffix[0]
		}
	}
	return cell, 0
}

func clockMinute(hour, minute int, half byte) (int, bool) {
	switch {
	case half != 0 && (hour < 1 || hour > 12), hour > 23:
		return 0, false
	case half == 'a' && hour == 12:
		hour = 0
	case half == 'p' && hour < 12:
		hour += 12
	}
	return 60*hour + minute, true
}

// parseOffset reads an instant with an offset from UTC behind it and gives it on
// the place's clock; false where there is no offset.
func parseOffset(cell []byte, zone *time.Location) (record.Date, int, bool) {
	if n := len(cell); n < 17 || cell[n-1] != 'Z' && cell[n-6] != '+' && cell[n-6] != '-' && cell[n-5] != '+' && cell[n-5] != '-' {
		return 0, 0, false
	}
	for _, layout := range []string{"2006-01-02T15:04:05Z07:00", "2006-01-02 15:04:05Z07:00", "2006-01-02T15:04Z07:00", "2006-01-02T15:04:05Z0700", "2006-01-02 15:04:05 Z0700"} {
		if t, err := time.Parse(layout, string(cell)); err == nil {
			local := t.In(zone)
			return record.DateOf(local), local.Hour()*60 + local.Minute(), local.Year() > 0
		}
	}
	return 0, 0, false
}

// orderFinder looks through the dates of a whole file for what settles the order
// of its days and months.
type orderFinder struct {
	dayRow, monthRow   int // rows that only one order can explain, 0 for none
	dayText, monthText string
	open               int // rows that either order explains
	openRow            int
	openText           string
}

// see takes the date of a row.
func (f *orderFinder) see(row int, cell []byte) {
	text, _ := splitInstant(bytes.TrimSpace(cell))
	w, ok := splitDate(text)
	if !ok || w.yearFirst || w.dotted {
		return
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
func (f *orderFinder) order() (DayOrder, error) {
	switch {
	case f.dayRow > 0 && f.monthRow > 0:
		return 0, &record.FieldError{Field: "date", Value: f.dayText + " (row " + strconv.Itoa(f.dayRow) + ") and " + f.monthText + " (row " + strconv.Itoa(f.monthRow) + ")",
			Want: "dates that all have the day first or all the month"}
	case f.dayRow > 0:
		return DayFirst, nil
	case f.monthRow > 0:
		return MonthFirst, nil
	case f.open > 0:
		return 0, &record.FieldError{Field: "date", Value: f.openText + " (row " + strconv.Itoa(f.openRow) + ")",
			Want: "--dates day-first or --dates month-first, since no date of the file tells which"}
	}
	return YearFirst, nil
}
