package shotlog

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"limekeep/schedule/record"
)

// dateSort is how a date that is not three numbers with marks was written.
type dateSort int

const (
	notADate   dateSort = iota
	aSerial             // 46083.3194: days of a spreadsheet
	aCount              // 1772437200: Unix time
	inOnePiece          // 20260302
	inWords             // 2 March 2026
)

// parseOther reads dates that are not three numbers with marks between. The
// minute is -1 where there is no time.
func parseOther(cell []byte, zone *time.Location) (date record.Date, minute int, sort dateSort) {
	if digit(cell[0]) && len(bytes.Trim(cell, "0123456789.,")) == 0 {
		if date, minute, ok := parseSerial(cell); ok {
			return date, minute, aSerial
		}
		if date, minute, ok := parseUnix(cell, zone); ok {
			return date, minute, aCount
		}
	}
	if date, minute, ok := parseOffset(cell, zone); ok {
		return date, minute, inWords
	}
	if date, minute, ok := parseCompact(cell); ok {
		return date, minute, inOnePiece
	}
	if date, minute, ok := parseSpaced(cell); ok {
		return date, minute, inOnePiece
	}
	if date, minute, ok := parseWords(string(cell)); ok {
		return date, minute, inWords
	}
	return 0, -1, notADate
}

// Days of a spreadsheet are counted from the day before 1900 that makes
// 1900-03-01 the 61st (ECMA-376 part 1, 18.17.4.1: the year 1900 counts as a leap
// year). Only such as a log can have are taken for dates: 2009 to 2064.
const (
	leastSerial = 40_000
	mostSerial  = 60_000
)

var serialEpoch = record.NewDate(1899, time.December, 30)

// days1904 is how much later the days are of workbooks that count from 1904 on,
// as those of Macs used to (ECMA-376 part 1, 18.17.4.1).
const days1904 = 1462

// fromEpoch puts a serial number's day right where the owner says that the file
// counts from 1904, and asks where both may be.
func (f *Log) fromEpoch(date record.Date) record.Date {
	w := &f.writing
	w.serial = true
	switch {
	case w.epoch == Serial1904:
		return date + days1904
	case w.epoch != Serial1900 && f.options.Today != 0 && date+days1904 <= f.options.Today:
		f.asked.ask("epoch", Question{Row: f.row, Line: f.line,
			Text:   fmt.Sprintf("the number of its day means %s in most spreadsheets, and %s in those that count from 1904", date, date+days1904),
			Answer: f.options.ways().Epoch()})
	}
	return date
}

// serialLike reports whether a cell is a serial number.
func serialLike(cell []byte) bool {
	_, _, ok := parseSerial(cell)
	return ok
}

// parseSerial reads a spreadsheet's serial number of a day, and the time in its
// fraction.
func parseSerial(cell []byte) (record.Date, int, bool) {
	if len(cell) < 5 || len(cell) > 5 && cell[5] != '.' && cell[5] != ',' {
		return 0, 0, false
	}
	text := strings.Replace(string(cell), ",", ".", 1)
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || x < leastSerial || x > mostSerial {
		return 0, 0, false
	}
	days := math.Floor(x)
	if days == x {
		return serialEpoch + record.Date(days), -1, true
	}
	seconds := int(math.Round((x - days) * secondsADay))
	return serialEpoch + record.Date(days) + record.Date(seconds/secondsADay), seconds % secondsADay / 60, true
}

// parseUnix reads seconds or milliseconds since 1970 in UTC, of 10 and 13 digits
// (2001 to 2286), and puts them on the clock of the place.
func parseUnix(cell []byte, zone *time.Location) (record.Date, int, bool) {
	whole, _, _ := bytes.Cut(cell, []byte{'.'})
	n, err := strconv.ParseInt(string(whole), 10, 64)
	if err != nil {
		return 0, 0, false
	}
	switch {
	case len(whole) == 10:
		return onClock(time.Unix(n, 0), zone)
	case len(whole) == 13 && len(cell) == 13:
		return onClock(time.UnixMilli(n), zone)
	}
	return 0, 0, false
}

// parseCompact reads 20260302, and the same with a time behind: 202603020740,
// 20260302T074012, 20260302 07:40.
func parseCompact(cell []byte) (record.Date, int, bool) {
	if len(cell) < 8 || len(bytes.Trim(cell[:8], "0123456789")) > 0 {
		return 0, 0, false
	}
	year, _ := smallNumber(cell[:4])
	month, _ := smallNumber(cell[4:6])
	day, _ := smallNumber(cell[6:8])
	date, ok := writtenDate{first: month, second: day, year: year, yearFirst: true}.date(YearFirst)
	if !ok || year < 1990 || year > 2100 {
		return 0, 0, false
	}
	rest := bytes.TrimLeft(cell[8:], " T")
	if len(rest) == 0 {
		return date, -1, len(cell) == 8
	}
	if n := len(rest); (n == 4 || n == 6) && len(bytes.Trim(rest, "0123456789")) == 0 {
		rest = rest[:4]
	} else if len(cell) == 8+n {
		return 0, 0, false // more digits than a date and a time have
	}
	minute, ok := parseClock(rest)
	return date, minute, ok
}

// parseSpaced reads dates with blanks behind their dots: 2. 3. 2026, and those
// with a dot at the end.
func parseSpaced(cell []byte) (record.Date, int, bool) {
	if bytes.IndexByte(cell, '.') < 0 {
		return 0, 0, false
	}
	together := bytes.ReplaceAll(cell, []byte(". "), []byte{'.'})
	text, clock := splitInstant(together)
	if year := bytes.LastIndexByte(together, '.'); len(clock) == 0 && year == len(together)-1 {
		text = together[:year]
	}
	w, ok := splitDate(text)
	if !ok || !w.dotted && !w.yearFirst {
		return 0, 0, false
	}
	date, ok := w.date(DayFirst)
	if !ok || len(clock) == 0 {
		return date, -1, ok
	}
	minute, ok := parseClock(clock)
	return date, minute, ok
}
