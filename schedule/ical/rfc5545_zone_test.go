package ical

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// zone5545 is a time zone as a VTIMEZONE describes it (3.6.5), with an observance
// for each of its onsets, of rules up to lastOnset.
type zone5545 struct {
	observances []observance5545 // the earliest first
}

// lastOnset is the year up to which rules are followed.
const lastOnset = 2045

type observance5545 struct {
	line     int
	onset    int64 // on the clock in force until then
	from, to int
}

// covers tells whether a time of a clock lies within the description.
func (z *zone5545) covers(wall int64) bool {
	return len(z.observances) == 0 || z.observances[0].onset <= wall
}

// instant gives the instant of a time of the clock. A time that comes twice is
// the first; one that does not come at all counts by the offset before the gap
// (3.3.5).
func (z *zone5545) instant(wall int64) int64 {
	offset := 0
	for i, o := range z.observances {
		if i == 0 {
			offset = o.to
		}
		if gap := int64(o.to - o.from); o.onset > wall || gap > 0 && wall < o.onset+gap {
			break
		}
		offset = o.to
	}
	return wall - int64(offset)
}

// timezone checks a VTIMEZONE and remembers it (3.6.5).
func (c *checker) timezone(p *part) {
	name := p.first("TZID")
	if name == nil {
		return // said already
	}
	if c.zones[name.value] != nil {
		c.fault(p.line, "3.8.3.1", "%s is described twice", name.value)
	}
	z := &zone5545{}
	c.zones[name.value] = z
	if len(p.parts) == 0 {
		c.fault(p.line, "3.6.5", "neither STANDARD nor DAYLIGHT")
	}
	for _, inner := range p.parts {
		start, from, to := inner.first("DTSTART"), inner.first("TZOFFSETFROM"), inner.first("TZOFFSETTO")
		if start == nil || from == nil || to == nil {
			continue // said already
		}
		s, ok := readDateTime(start.value)
		if !ok || s.utc || len(start.params) > 0 {
			c.fault(start.line, "3.6.5", "an onset is a local time without a zone")
			continue
		}
		o := observance5545{line: inner.line}
		o.from, _ = readOffset(from.value)
		o.to, _ = readOffset(to.value)
		for _, onset := range c.onsets(inner, s) {
			o.onset = onset
			z.observances = append(z.observances, o)
		}
	}
	slices.SortFunc(z.observances, func(a, b observance5545) int { return int(a.onset - b.onset) })
	for i := 1; i < len(z.observances); i++ {
		if before, o := z.observances[i-1], z.observances[i]; o.from != before.to {
			c.fault(o.line, "3.8.3.3", "TZOFFSETFROM of %s is not what was in force before", time.Unix(o.onset, 0).UTC().Format(time.DateTime))
		}
	}
}

// onsets lists when an observance begins, on the clock in force until then.
func (c *checker) onsets(p *part, start stamp) []int64 {
	all := []int64{start.wall}
	for _, date := range p.all("RDATE") {
		for _, text := range strings.Split(date.value, ",") {
			s, ok := readDateTime(text)
			if !ok || s.utc || len(date.params) > 0 {
				c.fault(date.line, "3.6.5", "an onset is a local time without a zone")
				continue
			}
			if s.wall != start.wall { // a set has each once
				all = append(all, s.wall)
			}
		}
	}
	rule := p.first("RRULE")
	if rule == nil {
		return all
	}
	// Rules of the only forms that zones have here: every year in a month, on the nth
	// or last weekday or on the one among some days.
	var month, nth int
	var weekday string
	var days []string
	for _, item := range strings.Split(rule.value, ";") {
		name, value, _ := strings.Cut(item, "=")
		switch {
		case item == "FREQ=YEARLY":
		case name == "BYMONTH":
			month, _ = strconv.Atoi(value)
		case name == "BYDAY" && len(value) >= 2:
			nth, _ = strconv.Atoi(value[:len(value)-2])
			weekday = value[len(value)-2:]
		case name == "BYMONTHDAY":
			days = strings.Split(value, ",")
		default:
			c.fault(rule.line, "3.3.10", "a rule of a zone that is not looked into: %s", item)
			return all
		}
	}
	first := time.Unix(start.wall, 0).UTC()
	found := false
	for day := time.Date(first.Year(), time.Month(month), 1, first.Hour(), first.Minute(), first.Second(), 0, time.UTC); ; day = day.AddDate(0, 0, 1) {
		if day.Month() != time.Month(month) {
			day = day.AddDate(1, 0, 0).AddDate(0, -1, 0) // to the month, a year later
		}
		if day.Year() > lastOnset {
			break
		}
		fits := weekday == weekdays[day.Weekday()] && (len(days) == 0 || slices.Contains(days, strconv.Itoa(day.Day())))
		switch {
		case nth > 0:
			fits = fits && (day.Day()-1)/7+1 == nth
		case nth < 0:
			fits = fits && day.AddDate(0, 0, -7*nth).Month() != day.Month() && day.AddDate(0, 0, -7*(nth+1)).Month() == day.Month()
		}
		switch {
		case fits && day.Equal(first):
			found = true
		case fits && day.After(first):
			all = append(all, day.Unix())
		}
	}
	if !found {
		c.fault(p.line, "3.8.5.3", "the first onset is none of the rule's")
	}
	return all
}
