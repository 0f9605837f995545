package ical

import (
	"slices"
	"strings"
)

// ruleRanges are the numbers that the parts of a rule take (3.3.10).
var ruleRanges = map[string]struct {
	low, high int
	negative  bool // counted from the end as well; never 0
}{
	"BYSECOND": {0, 60, false}, "BYMINUTE": {0, 59, false}, "BYHOUR": {0, 23, false}, "BYMONTH": {1, 12, false},
	"BYMONTHDAY": {1, 31, true}, "BYYEARDAY": {1, 366, true}, "BYWEEKNO": {1, 53, true}, "BYSETPOS": {1, 366, true},
}

var weekdays = []string{"SU", "MO", "TU", "WE", "TH", "FR", "SA"}

// rule checks a RECUR (3.3.10) against the start it counts from.
func (c *checker) rule(p prop, start *stamp) {
	seen := map[string]bool{}
	bad := func(format string, arguments ...any) { c.fault(p.line, "3.3.10", format, arguments...) }
	for i, text := range strings.Split(p.value, ";") {
		name, value, found := strings.Cut(text, "=")
		if !found || value == "" {
			bad("no part of a rule: %q", text)
			continue
		}
		if i == 0 && name != "FREQ" {
			bad("a rule begins with %s", name) // "MUST be the first rule part"
		}
		if seen[name] {
			bad("%s comes twice", name)
		}
		seen[name] = true
		switch name {
		case "FREQ":
			if !slices.Contains([]string{"SECONDLY", "MINUTELY", "HOURLY", "DAILY", "WEEKLY", "MONTHLY", "YEARLY"}, value) {
				bad("FREQ=%s", value)
			}
		case "INTERVAL", "COUNT":
			if number(value) < 1 {
				bad("%s=%s", name, value)
			}
		case "UNTIL":
			c.until(p, value, start)
		case "WKST":
			if !slices.Contains(weekdays, value) {
				bad("WKST=%s", value)
			}
		case "BYDAY":
			for _, day := range strings.Split(value, ",") {
				if len(day) < 2 || !slices.Contains(weekdays, day[len(day)-2:]) {
					bad("BYDAY=%s", day)
				}
			}
		default:
			c.ruleNumbers(p, name, value)
		}
	}
	if !seen["FREQ"] {
		bad("no FREQ")
	}
	if seen["UNTIL"] && seen["COUNT"] {
		bad("UNTIL and COUNT")
	}
}

// until checks the end of a rule: of the type of its start, in UTC where that
// names a zone or is in UTC.
func (c *checker) until(p prop, value string, start *stamp) {
	s, ok := readDateTime(value)
	if !ok {
		s, ok = readDate(value)
	}
	switch {
	case !ok:
		c.fault(p.line, "3.3.10", "UNTIL=%s", value)
	case start != nil && (s.date != start.date || !s.date && s.utc != (start.utc || start.zone != "")):
		c.fault(p.line, "3.3.10", "UNTIL=%s is of another type than the start", value)
	}
}

func (c *checker) ruleNumbers(p prop, name, value string) {
	numbers, ok := ruleRanges[name]
	if !ok {
		c.fault(p.line, "3.3.10", "%s is no part of a rule", name)
		return
	}
	for _, text := range strings.Split(value, ",") {
		n, ok := readInteger(text)
		if numbers.negative && n < 0 {
			n = -n
		}
		if !ok || n < numbers.low || n > numbers.high {
			c.fault(p.line, "3.3.10", "%s=%s", name, text)
		}
	}
}
