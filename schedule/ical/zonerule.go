package ical

import (
	"fmt"
	"strings"
	"time"
)

// ruleYears is how far beyond what is needed a zone must keep to a rule for the rule
// to be written: after 28 years dates fall on the same days of the week again, so
// that all days that a rule can mean have come.
const ruleYears = 28

// yearlyRule returns the rule (RFC 5545, 3.3.10) that onsets of daylight saving or
// standard time keep to, once a year for ruleYears at least: on the nth or last
// weekday of a month, or on the one among seven days of it.
func yearlyRule(onsets []time.Time) (rule string, ok bool) {
	first := onsets[0]
	if len(onsets) < ruleYears {
		return "", false
	}
	earliest, latest := 31, 1 // day of the month
	last := true              // always the last of its weekday
	for i, onset := range onsets {
		if onset.Year() != first.Year()+i || onset.Month() != first.Month() || onset.Weekday() != first.Weekday() || onset.Sub(midnight(onset)) != first.Sub(midnight(first)) {
			return "", false
		}
		earliest, latest = min(earliest, onset.Day()), max(latest, onset.Day())
		last = last && onset.AddDate(0, 0, 7).Month() != onset.Month()
	}
	day := strings.ToUpper(first.Weekday().String()[:2])
	rule = fmt.Sprintf("FREQ=YEARLY;BYMONTH=%d", first.Month())
	switch {
	case last:
		return rule + ";BYDAY=-1" + day, true
	case latest-earliest != 6:
		return "", false
	case earliest%7 == 1:
		return fmt.Sprintf("%s;BYDAY=%d%s", rule, earliest/7+1, day), true
	}
	days := make([]string, 7)
	for i := range days {
		days[i] = fmt.Sprint(earliest + i)
	}
	return rule + ";BYDAY=" + day + ";BYMONTHDAY=" + strings.Join(days, ","), true
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}
