package recur

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// ErrRule says that a text is no recurrence rule.
var ErrRule = errors.New("not a recurrence rule (RFC 5545, 3.3.10)")

// mostRuleBytes bounds the text of a rule. The longest that the limits of its
// lists allow is a little longer, but says nothing that a shorter one does not.
const mostRuleBytes = 4 << 10

var frequencies = map[string]Frequency{
	"YEARLY": Yearly, "MONTHLY": Monthly, "WEEKLY": Weekly, "DAILY": Daily, "HOURLY": Hourly, "MINUTELY": Minutely, "SECONDLY": Secondly,
}

var weekdays = map[string]time.Weekday{
	"MO": time.Monday, "TU": time.Tuesday, "WE": time.Wednesday, "TH": time.Thursday, "FR": time.Friday, "SA": time.Saturday, "SU": time.Sunday,
}

// ParseRule reads the value of an RRULE. Letters may be of either case, and parts
// in any order. Where a rule has both COUNT and UNTIL, which RFC 5545 does not
// allow, both hold. An error is an ErrRule and names the part that cannot be read.
func ParseRule(text string) (Rule, error) {
	if len(text) > mostRuleBytes {
		return Rule{}, fmt.Errorf("%w: it is longer than %d bytes", ErrRule, mostRuleBytes)
	}
	r := Rule{Freq: -1, Interval: 1, WeekStart: time.Monday}
	seen := map[string]bool{}
	for part := range strings.SplitSeq(strings.ToUpper(text), ";") {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		name, value, _ := strings.Cut(part, "=")
		if seen[name] {
			return Rule{}, fmt.Errorf("%w: %s is there twice", ErrRule, name)
		}
		seen[name] = true
		if err := r.read(name, value); err != nil {
			return Rule{}, fmt.Errorf("%w: %s=%s: %w", ErrRule, name, value, err)
		}
	}
	if r.Freq < 0 {
		return Rule{}, fmt.Errorf("%w: it has no FREQ", ErrRule)
	}
	return r, nil
}

// read takes up one part of a rule.
func (r *Rule) read(name, value string) (err error) {
	list := func(least, most int) (values []int) {
		values, err = readNumbers(value, least, most)
		return values
	}
	switch name {
	case "FREQ":
		freq, ok := frequencies[value]
		if !ok {
			return errors.New("want YEARLY, MONTHLY, WEEKLY, DAILY, HOURLY, MINUTELY or SECONDLY")
		}
		r.Freq = freq
	case "INTERVAL":
		r.Interval, err = readNumber(value, 1, math.MaxInt32)
	case "COUNT":
		r.Count, err = readNumber(value, 1, math.MaxInt32)
	case "UNTIL":
		r.Until, err = readUntil(value)
	case "WKST":
		day, ok := weekdays[value]
		if !ok {
			return errors.New("want a day of the week such as MO")
		}
		r.WeekStart = day
	case "BYSECOND":
		r.BySecond = list(0, 60)
		for i, second := range r.BySecond {
			r.BySecond[i] = min(second, 59)
		}
		r.BySecond = slices.Compact(r.BySecond)
	case "BYMINUTE":
		r.ByMinute = list(0, 59)
	case "BYHOUR":
		r.ByHour = list(0, 23)
	case "BYDAY":
		r.ByDay, err = readWeekdays(value)
	case "BYMONTHDAY":
		r.ByMonthDay = list(-31, 31)
	case "BYYEARDAY":
		r.ByYearDay = list(-366, 366)
	case "BYWEEKNO":
		r.ByWeekNo = list(-53, 53)
	case "BYMONTH":
		r.ByMonth = list(1, 12)
	case "BYSETPOS":
		r.BySetPos = list(-366, 366)
	default:
		return errors.New("there is no such part")
	}
	return err
}

func readNumber(text string, least, most int) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < least || n > most {
		return 0, fmt.Errorf("want a whole number from %d to %d", least, most)
	}
	return n, nil
}

// readNumbers reads a list. Where numbers may count from the end, there is no 0.
func readNumbers(text string, least, most int) ([]int, error) {
	var list []int
	for item := range strings.SplitSeq(text, ",") {
		n, err := readNumber(item, least, most)
		if err != nil {
			return nil, err
		}
		if n == 0 && least < 0 {
			return nil, errors.New("the first is 1 and the last is -1, so there is no 0")
		}
		list = append(list, n)
	}
	slices.Sort(list)
	return slices.Compact(list), nil
}

func readWeekdays(text string) ([]Weekday, error) {
	var list []Weekday
	for item := range strings.SplitSeq(text, ",") {
		item = strings.TrimSpace(item)
		if len(item) < 2 {
			return nil, errors.New("want days of the week such as MO or -1FR")
		}
		nth, name := item[:len(item)-2], item[len(item)-2:]
		day, ok := weekdays[name]
		if !ok {
			return nil, errors.New("want days of the week such as MO or -1FR")
		}
		w := Weekday{Day: day}
		if nth != "" {
			n, err := readNumber(nth, -53, 53)
			if err != nil || n == 0 {
				return nil, errors.New("a day of the week is counted from 1 to 53 or from -1 to -53")
			}
			w.Nth = n
		}
		list = append(list, w)
	}
	slices.SortFunc(list, func(a, b Weekday) int { return cmp.Or(cmp.Compare(a.Nth, b.Nth), cmp.Compare(a.Day, b.Day)) })
	return slices.Compact(list), nil
}

func readUntil(text string) (Until, error) {
	text = strings.TrimSpace(text)
	if at, err := time.Parse("20060102T150405Z", text); err == nil {
		return Until{at, true, true}, nil
	}
	if at, err := time.Parse("20060102T150405", text); err == nil {
		return Until{at, false, true}, nil
	}
	if at, err := time.Parse("20060102", text); err == nil {
		// A date is the last day on which there can be an occurrence.
		return Until{at.Add(24*time.Hour - time.Second), false, true}, nil
	}
	return Until{}, errors.New("want a date such as 20260301, or one with a time such as 20260301T080000Z")
}
