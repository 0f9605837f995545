package ical

import (
	"strconv"
	"strings"
	"time"
)

// stamp is a DATE or a DATE-TIME (3.3.4, 3.3.5).
type stamp struct {
	date bool
	utc  bool   // form 2
	zone string // form 3; floating, form 1, where it is neither
	wall int64  // what the clock shows, in seconds
}

// digits reads a number of so many digits.
func digits(text string, n int) (int, bool) {
	if len(text) != n {
		return 0, false
	}
	all := 0
	for i := range n {
		if text[i] < '0' || text[i] > '9' {
			return 0, false
		}
		all = all*10 + int(text[i]-'0')
	}
	return all, true
}

// readDate reads a DATE (3.3.4): four, two and two digits, of a day that exists.
func readDate(text string) (stamp, bool) {
	if len(text) != 8 {
		return stamp{}, false
	}
	year, ok1 := digits(text[:4], 4)
	month, ok2 := digits(text[4:6], 2)
	day, ok3 := digits(text[6:], 2)
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	return stamp{date: true, wall: t.Unix()}, ok1 && ok2 && ok3 && month >= 1 && month <= 12 && t.Day() == day && t.Month() == time.Month(month)
}

// readDateTime reads a DATE-TIME (3.3.5, 3.3.12): the second 60 is a leap second.
func readDateTime(text string) (stamp, bool) {
	text, utc := strings.CutSuffix(text, "Z")
	if len(text) != 15 || text[8] != 'T' {
		return stamp{}, false
	}
	s, ok := readDate(text[:8])
	hour, ok1 := digits(text[9:11], 2)
	minute, ok2 := digits(text[11:13], 2)
	second, ok3 := digits(text[13:], 2)
	s.date, s.utc = false, utc
	s.wall += int64(hour*3600 + minute*60 + second)
	return s, ok && ok1 && ok2 && ok3 && hour < 24 && minute < 60 && second <= 60
}

// readDuration reads a DURATION (3.3.6) in seconds, a day as 24 hours.
func readDuration(text string) (seconds int, onlyDays, ok bool) {
	sign := 1
	switch {
	case strings.HasPrefix(text, "-"):
		sign, text = -1, text[1:]
	case strings.HasPrefix(text, "+"):
		text = text[1:]
	}
	text, ok = strings.CutPrefix(text, "P")
	if !ok {
		return 0, false, false
	}
	day, clock, timed := strings.Cut(text, "T")
	amount := func(part, unit string, each int) bool {
		n, err := strconv.Atoi(strings.TrimSuffix(part, unit))
		seconds += n * each
		return err == nil && part[0] != '-' && part[0] != '+'
	}
	switch {
	case strings.HasSuffix(day, "W"):
		return sign * 7 * 86400 * number(day[:len(day)-1]), true, number(day[:len(day)-1]) >= 0 && !timed
	case day != "" && (!strings.HasSuffix(day, "D") || !amount(day, "D", 86400)):
		return 0, false, false
	case day == "" && !timed:
		return 0, false, false
	}
	if !timed {
		return sign * seconds, true, true
	}
	// Hours, minutes and seconds, none left out between two (dur-time).
	units := "HMS"
	first := true
	for clock != "" {
		end := strings.IndexAny(clock, "HMS")
		if end < 1 {
			return 0, false, false
		}
		at := strings.IndexByte(units, clock[end])
		if at < 0 || !first && at > 0 {
			return 0, false, false
		}
		if !amount(clock[:end+1], clock[end:end+1], map[byte]int{'H': 3600, 'M': 60, 'S': 1}[clock[end]]) {
			return 0, false, false
		}
		units, clock, first = units[at+1:], clock[end+1:], false
	}
	return sign * seconds, false, !first
}

// number reads digits, -1 where there are others or none.
func number(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil || text[0] == '-' || text[0] == '+' {
		return -1
	}
	return n
}

// readOffset reads a UTC-OFFSET (3.3.14) in seconds. Minus zero is none.
func readOffset(text string) (int, bool) {
	if len(text) != 5 && len(text) != 7 || text[0] != '+' && text[0] != '-' {
		return 0, false
	}
	hours, ok1 := digits(text[1:3], 2)
	minutes, ok2 := digits(text[3:5], 2)
	seconds, ok3 := 0, true
	if len(text) == 7 {
		seconds, ok3 = digits(text[5:], 2)
	}
	all := hours*3600 + minutes*60 + seconds
	if !ok1 || !ok2 || !ok3 || hours > 23 || minutes > 59 || seconds > 59 || text[0] == '-' && all == 0 {
		return 0, false
	}
	if text[0] == '-' {
		all = -all
	}
	return all, true
}

// readInteger reads an INTEGER (3.3.8).
func readInteger(text string) (int, bool) {
	n, err := strconv.ParseInt(text, 10, 32)
	return int(n), err == nil
}

// textFault says what is wrong with a TEXT (3.3.11), empty where nothing is. In a
// list commas part the values.
func textFault(text string, list bool) string {
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '\\':
			i++
			if i == len(text) || !strings.ContainsRune(`\;,nN`, rune(text[i])) {
				return "a backslash that escapes nothing"
			}
		case ';':
			return "a semicolon that is not escaped"
		case ',':
			if !list {
				return "a comma that is not escaped"
			}
		}
	}
	return ""
}

// uri tells whether a text is a URI (3.3.13) by the characters and the scheme
// that RFC 3986, 2 and 3.1 let it have.
func uri(text string) bool {
	scheme, rest, found := strings.Cut(text, ":")
	if !found || scheme == "" || rest == "" || !(scheme[0] >= 'a' && scheme[0] <= 'z' || scheme[0] >= 'A' && scheme[0] <= 'Z') || !token(strings.NewReplacer("+", "", ".", "").Replace(scheme)) {
		return false
	}
	for i := range len(rest) {
		b := rest[i]
		switch {
		case b == '%':
			if i+2 >= len(rest) || !hex(rest[i+1]) || !hex(rest[i+2]) {
				return false
			}
		case b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= '0' && b <= '9':
		case !strings.ContainsRune("-._~:/?#[]@!$&'()*+,;=", rune(b)):
			return false
		}
	}
	return true
}

func hex(b byte) bool { return b >= '0' && b <= '9' || b >= 'a' && b <= 'f' || b >= 'A' && b <= 'F' }
