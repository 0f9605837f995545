package locale

import (
	"bytes"
	"fmt"
	"html"
	"strconv"
)

// date is a date as it stands in a text: the weekday and the year may be left out.
type date struct {
	weekday, month int  // counted from 0; weekday -1 for none
	wholeDay, long bool // the names are written out
	day, year      int  // year 0 for none
}

// dateAt reads a date that a text begins with, such as Fri 27 Nov 2026, 27 Nov 2026 or
// Friday 27 November, and how long it is; 0 where none is there.
func dateAt(text []byte) (date, int) {
	d := date{weekday: -1}
	if len(text) == 0 || !(text[0] >= '1' && text[0] <= '9') && (text[0] < 'A' || text[0] > 'Z') {
		return d, 0
	}
	at := 0
	for i := range english.days {
		for _, name := range []string{english.days[i], english.wholeDays[i]} {
			if spaced(text, name) {
				d.weekday, d.wholeDay, at = i, name == english.wholeDays[i], len(name)+1
			}
		}
	}
	day, n := numberAt(text[at:], 2)
	if n == 0 || day < 1 || day > 31 || at+n >= len(text) || text[at+n] != ' ' {
		return d, 0
	}
	d.day, at = day, at+n+1
	n = d.named(text[at:])
	if n == 0 {
		return d, 0
	}
	at += n
	if at < len(text) && text[at] == ' ' {
		if year, n := numberAt(text[at+1:], 4); n == 4 {
			d.year = year
			return d, at + 1 + n
		}
	}
	if d.weekday < 0 {
		return d, 0 // a number before a word
	}
	return d, at
}

// named reads the name of a month that a text begins with, and returns its length.
func (d *date) named(text []byte) int {
	name := ""
	for i := range english.months {
		for _, candidate := range []string{english.wholeMonths[i], english.months[i]} {
			if len(candidate) > len(name) && bytes.HasPrefix(text, []byte(candidate)) {
				name, d.month, d.long = candidate, i, candidate == english.wholeMonths[i] && len(candidate) > 3
			}
		}
	}
	if len(name) < len(text) && wordly(text[len(name)]) {
		return 0
	}
	return len(name)
}

// spaced reports whether a text begins with a word and a space.
func spaced(text []byte, word string) bool {
	return len(text) > len(word) && text[len(word)] == ' ' && string(text[:len(word)]) == word
}

// weekdayAt reads a weekday that a text begins with and that is part of no date: a name
// written out, or a short one before a figure, as in a list of them.
func weekdayAt(text []byte) (day int, whole bool, length int) {
	for i := range english.days {
		if name := english.wholeDays[i]; bytes.HasPrefix(text, []byte(name)) {
			if n := len(name); n == len(text) || !wordly(text[n]) {
				return i, true, n
			}
		}
		if name := english.days[i]; spaced(text, name) {
			if n := len(name); n+1 < len(text) && text[n+1] >= '0' && text[n+1] <= '9' {
				return i, false, n
			}
		}
	}
	return 0, false, 0
}

// monthAt reads a month with its year that a text begins with, such as Nov 2026.
func monthAt(text []byte) (date, int) {
	d := date{weekday: -1}
	if len(text) == 0 || text[0] < 'A' || text[0] > 'Z' {
		return d, 0
	}
	at := d.named(text)
	if at == 0 || at >= len(text) || text[at] != ' ' {
		return d, 0
	}
	year, n := numberAt(text[at+1:], 4)
	if n != 4 {
		return d, 0
	}
	d.year = year
	return d, at + 1 + n
}

// month writes a month with its year.
func (to Reader) month(out *bytes.Buffer, d date) {
	switch {
	case to.Order == YearFirst:
		fmt.Fprintf(out, "%d-%02d", d.year, d.month+1)
	case d.long:
		fmt.Fprintf(out, "%s%s%d", to.names.wholeAlone[d.month], to.names.wholeAloneYear, d.year)
	default:
		fmt.Fprintf(out, "%s%s%d", to.names.monthsAlone[d.month], to.names.aloneYear, d.year)
	}
}

// dayHeadAt reads the day at the head of a column, a letter with its name, which a tag
// begins and a text goes on with, and how much of the text that is; 0 where none is there.
func dayHeadAt(tag, text []byte) (day, length int) {
	const before, after = `<abbr title="`, "</abbr>"
	if !bytes.HasPrefix(tag, []byte(before)) {
		return 0, 0
	}
	for i, name := range english.wholeDays {
		if rest := english.letters[i] + after; bytes.Equal(tag[len(before):], []byte(name+`">`)) && bytes.HasPrefix(text, []byte(rest)) {
			return i, len(rest)
		}
	}
	return 0, 0
}

// dayHead writes it.
func (to Reader) dayHead(out *bytes.Buffer, day int) {
	fmt.Fprintf(out, `<abbr title="%s">%s</abbr>`, html.EscapeString(to.names.wholeDays[day]), html.EscapeString(to.names.letters[day]))
}

// numberAt reads a whole number of so many digits at most that ends there.
func numberAt(text []byte, most int) (x, length int) {
	for length < len(text) && text[length] >= '0' && text[length] <= '9' {
		length++
	}
	if length == 0 || length > most {
		return 0, 0
	}
	x, err := strconv.Atoi(string(text[:length]))
	if err != nil {
		return 0, 0
	}
	return x, length
}

// date writes a date in the reader's order.
func (to Reader) date(out *bytes.Buffer, d date) {
	month, dayMonth, monthYear := to.names.months[d.month], to.names.dayMonth, to.names.monthYear
	if d.long {
		month, dayMonth, monthYear = to.names.wholeMonths[d.month], to.names.wholeDayMonth, to.names.wholeYear
	}
	if d.weekday >= 0 {
		out.WriteString(to.names.weekday(d.weekday, d.wholeDay))
		if to.Order == MonthFirst {
			out.WriteByte(',')
		}
		out.WriteByte(' ')
	}
	switch {
	case to.Order == YearFirst && d.year > 0:
		fmt.Fprintf(out, "%d-%02d-%02d", d.year, d.month+1, d.day)
	case to.Order == YearFirst:
		fmt.Fprintf(out, "%02d-%02d", d.month+1, d.day)
	case to.Order == MonthFirst && d.year > 0:
		fmt.Fprintf(out, "%s %d, %d", month, d.day, d.year)
	case to.Order == MonthFirst:
		fmt.Fprintf(out, "%s %d", month, d.day)
	case d.year > 0:
		fmt.Fprintf(out, "%d%s%s%s%d", d.day, dayMonth, month, monthYear, d.year)
	default:
		fmt.Fprintf(out, "%d%s%s", d.day, dayMonth, month)
	}
}
