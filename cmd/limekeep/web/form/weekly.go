package form

import (
	"fmt"
	"strconv"
	"strings"

	"limekeep/cmd/limekeep/web/wording"
)

// A Weekly is a time of the week as people choose it: on which days, and when. Records
// hold it as a cron expression of five fields.
type Weekly struct {
	Days  string // one of those of WeeklyDays
	Clock string // 15:04
}

// weeklyDays are the days that can be chosen, each with its words in a cron
// expression.
var weeklyDays = []struct{ value, label string }{
	{"MON", wording.Mondays}, {"TUE", wording.Tuesdays}, {"WED", wording.Wednesdays}, {"THU", wording.Thursdays}, {"FRI", wording.Fridays}, {"SAT", wording.Saturdays}, {"SUN", wording.Sundays},
	{"MON-FRI", wording.MondaysToFridays}, {"SAT,SUN", wording.SaturdaysAndSundays}, {"*", wording.EveryDay},
}

// WeeklyDays lists the days that can be chosen.
func WeeklyDays() []Choice {
	var all []Choice
	for _, d := range weeklyDays {
		all = append(all, Choice{Value: d.value, Label: d.label})
	}
	return all
}

// WeeklyOf reads a cron expression that says no more than a Weekly can; false for any
// other.
func WeeklyOf(expression string) (Weekly, bool) {
	parts := strings.Fields(strings.ToUpper(expression))
	if len(parts) != 5 || parts[2] != "*" && parts[2] != "?" || parts[3] != "*" {
		return Weekly{}, false
	}
	minute, err := strconv.Atoi(parts[0])
	if err != nil || minute < 0 || minute > 59 {
		return Weekly{}, false
	}
	hour, err := strconv.Atoi(parts[1])
	if err != nil || hour < 0 || hour > 23 {
		return Weekly{}, false
	}
	days := strings.NewReplacer("?", "*", "0", "SUN", "1", "MON", "2", "TUE", "3", "WED", "4", "THU", "5", "FRI", "6", "SAT", "7", "SUN").Replace(parts[4])
	if days == "SUN,SAT" || days == "SAT-SUN" {
		days = "SAT,SUN"
	}
	for _, d := range weeklyDays {
		if d.value == days {
			return Weekly{Days: days, Clock: fmt.Sprintf("%02d:%02d", hour, minute)}, true
		}
	}
	return Weekly{}, false
}

// Cron writes it as a cron expression; false where a part of it is none of those that
// can be chosen.
func (w Weekly) Cron() (string, bool) {
	hour, minute, found := strings.Cut(strings.TrimSpace(w.Clock), ":")
	h, errHour := strconv.Atoi(hour)
	m, errMinute := strconv.Atoi(minute)
	if !found || errHour != nil || errMinute != nil || h < 0 || h > 23 || m < 0 || m > 59 {
		return "", false
	}
	for _, d := range weeklyDays {
		if d.value == w.Days {
			return fmt.Sprintf("%d %d * * %s", m, h, d.value), true
		}
	}
	return "", false
}
