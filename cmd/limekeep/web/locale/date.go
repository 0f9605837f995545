package locale

import (
	"bytes"
	"fmt"
	"strconv"
)

// date is a date as it stands in a text: the weekday and the year may be left out.
type date struct {
	weekday, month int // counted from 0; weekday -1 for none
	long           bool
	day, year      int // year 0 for none
}

// dateAt reads a date that a text begins with, such as Fri 27 Nov 2026, 27 Nov 2026 or
// Fri 27 November 2026, and how long it is; 0 where none is there.
func dateAt(text []byte) (date, int) {
	d := date{weekday: -1}
	if len(text) == 0 || !(text[0] >= '1' && text[0] <= '9') && (text[0] < 'A' || text[0] > 'Z') {
		return d, 0
	}
	at := 0
	for i, name := range english.Days {
		if bytes.HasPrefix(text, []byte(name+" ")) {
			d.weekday, at = i, len(name)+1
			break
		}
	}
	day, n := numberAt(text[at:], 2)
	if n == 0 || day < 1 || day > 31 || at+n >= len(text) || text[at+n] != ' ' {
		return d, 0
	}
	d.day, at = day, at+n+1
	name := ""
	for i := range english.Months {
		for _, candidate := range []string{english.Long[i], english.Months[i]} {
			if len(candidate) > len(name) && bytes.HasPrefix(text[at:], []byte(candidate)) {
				name, d.month, d.long = candidate, i, candidate == english.Long[i] && len(candidate) > 3
			}
		}
	}
	if name == "" || at+len(name) < len(text) && wordly(text[at+len(name)]) {
		return d, 0
	}
	at += len(name)
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
	month := to.names.Months[d.month]
	if d.long {
		month = to.names.Long[d.month]
	}
	if d.weekday >= 0 {
		out.WriteString(to.names.Days[d.weekday])
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
		fmt.Fprintf(out, "%d %s %d", d.day, month, d.year)
	default:
		fmt.Fprintf(out, "%d %s", d.day, month)
	}
}
