package ical

import (
	"slices"
	"strings"
)

// valueTypes of 3.3, as VALUE names them.
const (
	typeText     = "TEXT"
	typeURI      = "URI"
	typeDate     = "DATE"
	typeDateTime = "DATE-TIME"
	typeDuration = "DURATION"
	typeInteger  = "INTEGER"
	typeOffset   = "UTC-OFFSET"
	typeRecur    = "RECUR"
	typeAddress  = "CAL-ADDRESS"
	typeFloat    = "FLOAT"
	typeBinary   = "BINARY"
	typePeriod   = "PERIOD"
)

// propRule is what the definition of a property says.
type propRule struct {
	section string
	types   []string // the default one first
	params  []string // beside VALUE and X- parameters
	list    bool     // values parted by commas
	utc     bool     // a DATE-TIME in UTC
	words   []string // the only values
	low     int      // bounds of an INTEGER
	high    int
	forced  bool // VALUE is never left out
}

var (
	language = []string{"LANGUAGE"}
	altrep   = []string{"ALTREP", "LANGUAGE"}
	tzid     = []string{"TZID"}
	anyDate  = []string{typeDateTime, typeDate}
)

const greatest = 1<<31 - 1

// propRules are the properties that may be met, by name.
var propRules = map[string]propRule{
	"CALSCALE":         {section: "3.7.1", types: []string{typeText}, words: []string{"GREGORIAN"}},
	"METHOD":           {section: "3.7.2", types: []string{typeText}},
	"PRODID":           {section: "3.7.3", types: []string{typeText}},
	"VERSION":          {section: "3.7.4", types: []string{typeText}, words: []string{"2.0"}},
	"NAME":             {section: "RFC 7986, 5.1", types: []string{typeText}, params: altrep},
	"REFRESH-INTERVAL": {section: "RFC 7986, 5.7", types: []string{typeDuration}, forced: true},
	"SOURCE":           {section: "RFC 7986, 5.8", types: []string{typeURI}, forced: true},
	"COLOR":            {section: "RFC 7986, 5.9", types: []string{typeText}},
	"ATTACH":           {section: "3.8.1.1", types: []string{typeURI, typeBinary}, params: []string{"FMTTYPE", "ENCODING"}},
	"CATEGORIES":       {section: "3.8.1.2", types: []string{typeText}, params: language, list: true},
	"CLASS":            {section: "3.8.1.3", types: []string{typeText}},
	"COMMENT":          {section: "3.8.1.4", types: []string{typeText}, params: altrep},
	"DESCRIPTION":      {section: "3.8.1.5", types: []string{typeText}, params: altrep},
	"LOCATION":         {section: "3.8.1.7", types: []string{typeText}, params: altrep},
	"PERCENT-COMPLETE": {section: "3.8.1.8", types: []string{typeInteger}, high: 100},
	"PRIORITY":         {section: "3.8.1.9", types: []string{typeInteger}, high: 9},
	"RESOURCES":        {section: "3.8.1.10", types: []string{typeText}, params: altrep, list: true},
	"STATUS":           {section: "3.8.1.11", types: []string{typeText}},
	"SUMMARY":          {section: "3.8.1.12", types: []string{typeText}, params: altrep},
	"COMPLETED":        {section: "3.8.2.1", types: []string{typeDateTime}, utc: true},
	"DTEND":            {section: "3.8.2.2", types: anyDate, params: tzid},
	"DUE":              {section: "3.8.2.3", types: anyDate, params: tzid},
	"DTSTART":          {section: "3.8.2.4", types: anyDate, params: tzid},
	"DURATION":         {section: "3.8.2.5", types: []string{typeDuration}},
	"TRANSP":           {section: "3.8.2.7", types: []string{typeText}, words: []string{"OPAQUE", "TRANSPARENT"}},
	"TZID":             {section: "3.8.3.1", types: []string{typeText}},
	"TZNAME":           {section: "3.8.3.2", types: []string{typeText}, params: language},
	"TZOFFSETFROM":     {section: "3.8.3.3", types: []string{typeOffset}},
	"TZOFFSETTO":       {section: "3.8.3.4", types: []string{typeOffset}},
	"TZURL":            {section: "3.8.3.5", types: []string{typeURI}},
	"ATTENDEE":         {section: "3.8.4.1", types: []string{typeAddress}, params: []string{"CN", "ROLE", "PARTSTAT", "RSVP", "CUTYPE"}},
	"ORGANIZER":        {section: "3.8.4.3", types: []string{typeAddress}, params: []string{"CN", "DIR", "SENT-BY", "LANGUAGE"}},
	"RECURRENCE-ID":    {section: "3.8.4.4", types: anyDate, params: []string{"TZID", "RANGE"}},
	"URL":              {section: "3.8.4.6", types: []string{typeURI}},
	"UID":              {section: "3.8.4.7", types: []string{typeText}},
	"EXDATE":           {section: "3.8.5.1", types: anyDate, params: tzid, list: true},
	"RRULE":            {section: "3.8.5.3", types: []string{typeRecur}},
	"ACTION":           {section: "3.8.6.1", types: []string{typeText}, words: []string{"AUDIO", "DISPLAY", "EMAIL"}},
	"REPEAT":           {section: "3.8.6.2", types: []string{typeInteger}, high: greatest},
	"TRIGGER":          {section: "3.8.6.3", types: []string{typeDuration, typeDateTime}, params: []string{"RELATED"}, utc: true},
	"CREATED":          {section: "3.8.7.1", types: []string{typeDateTime}, utc: true},
	"DTSTAMP":          {section: "3.8.7.2", types: []string{typeDateTime}, utc: true},
	"LAST-MODIFIED":    {section: "3.8.7.3", types: []string{typeDateTime}, utc: true},
	"SEQUENCE":         {section: "3.8.7.4", types: []string{typeInteger}, high: greatest},
}

// value checks parameters and value of a property.
func (c *checker) value(p prop) {
	if strings.HasPrefix(p.name, "X-") {
		c.extension(p)
		return
	}
	rule, ok := propRules[p.name]
	if !ok {
		return // named by its component's check
	}
	kind := c.params(p, rule)
	if len(rule.words) > 0 && !slices.Contains(rule.words, strings.ToUpper(p.value)) {
		c.fault(p.line, rule.section, "%s:%s", p.name, p.value)
	}
	switch kind {
	case typeText:
		if what := textFault(p.value, rule.list); what != "" {
			c.fault(p.line, "3.3.11", "%s: %s", p.name, what)
		}
	case typeURI, typeAddress:
		if !uri(p.value) {
			c.fault(p.line, "3.3.13", "%s is no address: %.40q", p.name, p.value)
		}
	case typeDate, typeDateTime:
		values := []string{p.value}
		if rule.list {
			values = strings.Split(p.value, ",")
		}
		for _, value := range values {
			c.time(p, rule, kind, value)
		}
	case typeDuration:
		c.duration(p, rule)
	case typeInteger:
		if n, ok := readInteger(p.value); !ok {
			c.fault(p.line, "3.3.8", "%s:%s", p.name, p.value)
		} else if n < rule.low || n > rule.high {
			c.fault(p.line, rule.section, "%s:%s", p.name, p.value)
		}
	case typeOffset:
		if _, ok := readOffset(p.value); !ok {
			c.fault(p.line, "3.3.14", "%s:%s", p.name, p.value)
		}
	}
}

// extension checks a property of our own: a TEXT, or what its VALUE says (3.8.8.2).
func (c *checker) extension(p prop) {
	switch kind := p.param("VALUE"); kind {
	case "", typeText:
		if what := textFault(p.value, true); what != "" {
			c.fault(p.line, "3.3.11", "%s: %s", p.name, what)
		}
	case typeDuration:
		if _, _, ok := readDuration(p.value); !ok {
			c.fault(p.line, "3.3.6", "%s:%s", p.name, p.value)
		}
	default:
		c.fault(p.line, "3.8.8.2", "%s with a value of type %s", p.name, kind)
	}
}

// params checks the parameters of a property and gives the type of its value.
func (c *checker) params(p prop, rule propRule) string {
	kind := rule.types[0]
	seen := map[string]bool{}
	for _, x := range p.params {
		if seen[x.name] {
			c.fault(p.line, rule.section, "%s has %s twice", p.name, x.name)
		}
		seen[x.name] = true
		switch {
		case x.name == "VALUE":
			kind = strings.ToUpper(x.values[0])
			if len(x.values) > 1 || !slices.Contains(rule.types, kind) {
				c.fault(p.line, rule.section, "%s with a value of type %s", p.name, kind)
				kind = ""
			}
		case strings.HasPrefix(x.name, "X-"):
		case !slices.Contains(rule.params, x.name):
			c.fault(p.line, rule.section, "%s has no parameter %s", p.name, x.name)
		case x.name == "RELATED" && !slices.Contains([]string{"START", "END"}, strings.ToUpper(x.values[0])):
			c.fault(p.line, "3.2.14", "RELATED=%s", x.values[0])
		}
	}
	if rule.forced && !seen["VALUE"] {
		c.fault(p.line, rule.section, "%s without VALUE", p.name)
	}
	return kind
}

// time checks a DATE or a DATE-TIME and its zone.
func (c *checker) time(p prop, rule propRule, kind, value string) {
	zone := p.param("TZID")
	if kind == typeDate {
		if _, ok := readDate(value); !ok {
			c.fault(p.line, "3.3.4", "%s:%s", p.name, value)
		}
		if zone != "" {
			c.fault(p.line, "3.2.19", "a date has no zone")
		}
		return
	}
	s, ok := readDateTime(value)
	if !ok {
		c.fault(p.line, "3.3.5", "%s:%s", p.name, value)
		return
	}
	switch {
	case rule.utc && !s.utc:
		c.fault(p.line, rule.section, "%s:%s is not in UTC", p.name, value)
	case zone != "" && s.utc:
		c.fault(p.line, "3.2.19", "%s in UTC has a zone", p.name)
	case zone != "" && c.zones[zone] == nil:
		c.fault(p.line, "3.2.19", "no VTIMEZONE for %s", zone)
	case zone != "" && !c.zones[zone].covers(s.wall):
		c.fault(p.line, "3.6.5", "the VTIMEZONE of %s begins after %s", zone, value)
	}
}

// duration checks a DURATION, and what TRIGGER, DURATION and REFRESH-INTERVAL
// say of theirs.
func (c *checker) duration(p prop, rule propRule) {
	seconds, _, ok := readDuration(p.value)
	switch {
	case !ok:
		c.fault(p.line, "3.3.6", "%s:%s", p.name, p.value)
	case p.name != "TRIGGER" && seconds <= 0:
		c.fault(p.line, rule.section, "%s:%s is not positive", p.name, p.value)
	}
}
