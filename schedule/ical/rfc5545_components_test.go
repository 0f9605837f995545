package ical

import (
	"slices"
	"strings"
)

// counts says how often a component may have each of its properties: '1' for
// once, '?' for once at most, '*' for as often as it likes.
type counts map[string]byte

// partRule is what the definition of a component says.
type partRule struct {
	section string
	parts   []string
	props   counts
}

func props(once, optional, many string) counts {
	all := counts{}
	for n, names := range map[byte]string{'1': once, '?': optional, '*': many} {
		for _, name := range strings.Fields(names) {
			all[name] = n
		}
	}
	return all
}

// partRules are the components that may be met.
var partRules = map[string]partRule{
	"VCALENDAR": {"3.6", []string{"VEVENT", "VTODO", "VTIMEZONE"}, props("PRODID VERSION",
		"CALSCALE METHOD UID LAST-MODIFIED URL REFRESH-INTERVAL SOURCE COLOR", // RFC 7986, 4
		"NAME DESCRIPTION CATEGORIES")},
	"VEVENT": {"3.6.1", []string{"VALARM"}, props("DTSTAMP UID",
		"DTSTART DTEND DURATION CLASS CREATED DESCRIPTION LAST-MODIFIED LOCATION ORGANIZER PRIORITY SEQUENCE STATUS SUMMARY TRANSP URL RECURRENCE-ID RRULE COLOR",
		"ATTACH ATTENDEE CATEGORIES COMMENT EXDATE RESOURCES")},
	"VTODO": {"3.6.2", []string{"VALARM"}, props("DTSTAMP UID",
		"DTSTART DUE DURATION CLASS COMPLETED CREATED DESCRIPTION LAST-MODIFIED LOCATION ORGANIZER PERCENT-COMPLETE PRIORITY SEQUENCE STATUS SUMMARY URL RECURRENCE-ID RRULE COLOR",
		"ATTACH ATTENDEE CATEGORIES COMMENT EXDATE RESOURCES")},
	"VTIMEZONE": {"3.6.5", []string{"STANDARD", "DAYLIGHT"}, props("TZID", "LAST-MODIFIED TZURL", "")},
	"STANDARD":  {"3.6.5", nil, props("DTSTART TZOFFSETFROM TZOFFSETTO", "RRULE", "COMMENT TZNAME RDATE")},
	"DAYLIGHT":  {"3.6.5", nil, props("DTSTART TZOFFSETFROM TZOFFSETTO", "RRULE", "COMMENT TZNAME RDATE")},
	"VALARM":    {"3.6.6", nil, props("ACTION TRIGGER", "DURATION REPEAT DESCRIPTION SUMMARY", "ATTACH ATTENDEE")},
}

var statuses = map[string][]string{ // 3.8.1.11
	"VEVENT": {"TENTATIVE", "CONFIRMED", "CANCELLED"},
	"VTODO":  {"NEEDS-ACTION", "COMPLETED", "IN-PROCESS", "CANCELLED"},
}

// calendar checks a whole object (3.4, 3.6).
func (c *checker) calendar(p *part) {
	if method := p.first("METHOD"); method != nil {
		c.method = strings.ToUpper(method.value)
	}
	c.part(p)
	if len(p.parts) == 0 {
		c.fault(p.line, "3.6", "a calendar without a component")
	}
	for _, inner := range p.parts { // zones may stand behind what names them
		if inner.name == "VTIMEZONE" {
			c.part(inner)
			c.timezone(inner)
		}
	}
	seen := map[string]bool{}
	for _, inner := range p.parts {
		if inner.name == "VTIMEZONE" {
			continue
		}
		c.part(inner)
		if inner.name == "VEVENT" || inner.name == "VTODO" {
			c.span(inner)
			id := inner.name + "\n" + valueOf(inner, "UID") + "\n" + valueOf(inner, "RECURRENCE-ID")
			if seen[id] {
				c.fault(inner.line, "3.8.4.7", "UID:%s comes twice", valueOf(inner, "UID"))
			}
			seen[id] = true
		}
	}
	if c.resource {
		c.objectResource(p)
	}
}

// objectResource checks what RFC 4791, 4.1 asks for beyond RFC 5545.
func (c *checker) objectResource(p *part) {
	const section = "RFC 4791, 4.1"
	if c.method != "" {
		c.fault(p.line, section, "a resource with METHOD")
	}
	var first *part
	for _, inner := range p.parts {
		switch {
		case inner.name == "VTIMEZONE":
		case first == nil:
			first = inner
		case inner.name != first.name:
			c.fault(inner.line, section, "a %s beside a %s", inner.name, first.name)
		case valueOf(inner, "UID") != valueOf(first, "UID"):
			c.fault(inner.line, section, "two UIDs")
		}
	}
	if first == nil {
		c.fault(p.line, section, "neither an event nor a to-do")
	}
}

func valueOf(p *part, name string) string {
	if x := p.first(name); x != nil {
		return x.value
	}
	return ""
}

// part checks the properties of a component, each and how often, and what is in it.
func (c *checker) part(p *part) {
	rule, ok := partRules[p.name]
	if !ok {
		c.fault(p.line, "3.6", "%s is no component that this checker knows", p.name)
		return
	}
	for _, inner := range p.parts {
		if !slices.Contains(rule.parts, inner.name) {
			c.fault(inner.line, rule.section, "a %s in a %s", inner.name, p.name)
		} else if p.name != "VCALENDAR" {
			c.part(inner)
		}
	}
	for i, x := range p.props {
		c.value(x)
		n := rule.props[x.name]
		if n == 0 && !strings.HasPrefix(x.name, "X-") {
			c.fault(x.line, rule.section, "%s in a %s", x.name, p.name)
		}
		if n != '1' && n != '?' {
			continue
		}
		if slices.ContainsFunc(p.props[:i], func(other prop) bool { return other.name == x.name }) {
			c.fault(x.line, rule.section, "%s comes twice in a %s", x.name, p.name)
		}
	}
	for name, n := range rule.props {
		if n == '1' && p.first(name) == nil {
			c.fault(p.line, rule.section, "no %s in a %s", name, p.name)
		}
	}
	if status := p.first("STATUS"); status != nil && !slices.Contains(statuses[p.name], strings.ToUpper(status.value)) {
		c.fault(status.line, "3.8.1.11", "STATUS:%s in a %s", status.value, p.name)
	}
	if p.name == "VALARM" {
		c.alarm(p)
	}
}

// alarm checks a VALARM by itself (3.6.6).
func (c *checker) alarm(p *part) {
	action := strings.ToUpper(valueOf(p, "ACTION"))
	if (action == "DISPLAY" || action == "EMAIL") && p.first("DESCRIPTION") == nil {
		c.fault(p.line, "3.6.6", "%s without DESCRIPTION", action)
	}
	if action == "EMAIL" && (p.first("SUMMARY") == nil || p.first("ATTENDEE") == nil) {
		c.fault(p.line, "3.6.6", "EMAIL without SUMMARY or ATTENDEE")
	}
	if (p.first("DURATION") == nil) != (p.first("REPEAT") == nil) {
		c.fault(p.line, "3.6.6", "DURATION and REPEAT go together")
	}
	if trigger := p.first("TRIGGER"); trigger != nil && trigger.param("VALUE") == typeDateTime && trigger.param("RELATED") != "" {
		c.fault(trigger.line, "3.8.6.3", "an instant is related to nothing")
	}
}

// stampOf gives the date or time of a property, nil where there is none to read.
func stampOf(p *part, name string) *stamp {
	x := p.first(name)
	if x == nil {
		return nil
	}
	if s, ok := readDate(x.value); ok {
		return &s
	}
	s, ok := readDateTime(x.value)
	if !ok {
		return nil
	}
	s.zone = x.param("TZID")
	return &s
}

// span checks start, end, recurrence and alarms of an event or a to-do.
func (c *checker) span(p *part) {
	start, ends := stampOf(p, "DTSTART"), "DTEND"
	if p.name == "VTODO" {
		ends = "DUE"
	}
	end, duration := stampOf(p, ends), p.first("DURATION")
	section := propRules[ends].section
	switch {
	case p.name == "VEVENT" && start == nil && c.method == "":
		c.fault(p.line, "3.6.1", "an event without DTSTART")
	case p.first("RRULE") != nil && start == nil:
		c.fault(p.line, "3.8.2.4", "a rule without DTSTART")
	case duration != nil && start == nil:
		c.fault(p.line, partRules[p.name].section, "DURATION without DTSTART")
	case duration != nil && p.first(ends) != nil:
		c.fault(p.line, partRules[p.name].section, "both %s and DURATION", ends)
	case start != nil && end != nil && start.date != end.date:
		c.fault(p.line, section, "%s is of another type than DTSTART", ends)
	case start != nil && end != nil && floating(start) != floating(end):
		c.fault(p.line, section, "one of DTSTART and %s is floating", ends)
	case start != nil && end != nil && c.instant(end) <= c.instant(start):
		c.fault(p.line, section, "%s is not later than DTSTART", ends)
	case duration != nil && start != nil && start.date:
		if _, onlyDays, ok := readDuration(duration.value); ok && !onlyDays {
			c.fault(duration.line, "3.8.2.5", "%s of a whole day", duration.value)
		}
	}
	if c.method == "PUBLISH" && p.first("ORGANIZER") == nil {
		c.fault(p.line, "RFC 5546, 3.2.1", "a publication without ORGANIZER")
	}
	for _, rule := range p.all("RRULE") {
		c.rule(rule, start)
	}
	for _, inner := range p.parts {
		c.related(p, inner, start, end)
	}
}

// related checks that what an alarm is related to is there (3.8.6.3).
func (c *checker) related(p, alarm *part, start, end *stamp) {
	trigger := alarm.first("TRIGGER")
	if trigger == nil || trigger.param("VALUE") == typeDateTime {
		return
	}
	toEnd := strings.EqualFold(trigger.param("RELATED"), "END")
	switch {
	case !toEnd && start == nil:
		c.fault(trigger.line, "3.8.6.3", "an alarm related to a start that is not there")
	case toEnd && end == nil && (start == nil || p.first("DURATION") == nil):
		c.fault(trigger.line, "3.8.6.3", "an alarm related to an end that is not there")
	}
}

func floating(s *stamp) bool { return !s.date && !s.utc && s.zone == "" }

// instant gives the instant of a time by the calendar's own zones.
func (c *checker) instant(s *stamp) int64 {
	if z := c.zones[s.zone]; z != nil && !s.date && !s.utc {
		return z.instant(s.wall)
	}
	return s.wall
}
