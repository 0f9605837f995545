package ical

import (
	"fmt"
	"slices"
	"strings"
)

// A checker of calendars, written from RFC 5545, RFC 7986 (more properties) and
// RFC 4791 (calendar object resources). It works on bytes and knows nothing of
// the code under test. Sections are those of RFC 5545 where no other is named.

// fault is one departure from the RFC.
type fault struct {
	line    int // of the content line, counted before unfolding; 0 for the whole
	section string
	what    string
}

func (f fault) String() string { return fmt.Sprintf("line %d: %s: %s", f.line, f.section, f.what) }

// checker gathers the faults of one calendar.
type checker struct {
	faults   []fault
	resource bool   // a calendar object resource (RFC 4791, 4.1), no feed
	method   string // METHOD of the calendar
	zones    map[string]*zone5545
}

func (c *checker) fault(line int, section, format string, arguments ...any) {
	c.faults = append(c.faults, fault{line, section, fmt.Sprintf(format, arguments...)})
}

// checkFeed gives the faults of a calendar as it goes to subscribers.
func checkFeed(data []byte) []fault { return check(data, false) }

// checkResource gives the faults of one calendar object resource.
func checkResource(data []byte) []fault { return check(data, true) }

func check(data []byte, resource bool) []fault {
	c := &checker{resource: resource, zones: map[string]*zone5545{}}
	calendar := c.parts(c.unfold(data))
	if calendar != nil {
		c.calendar(calendar)
	}
	slices.SortStableFunc(c.faults, func(a, b fault) int { return a.line - b.line })
	return c.faults
}

// part is a component: BEGIN to END (3.6).
type part struct {
	name  string
	line  int
	props []prop
	parts []*part
}

// all gives the properties of a name.
func (p *part) all(name string) []prop {
	var found []prop
	for _, x := range p.props {
		if x.name == name {
			found = append(found, x)
		}
	}
	return found
}

// first gives the first property of a name, nil where there is none.
func (p *part) first(name string) *prop {
	for i := range p.props {
		if p.props[i].name == name {
			return &p.props[i]
		}
	}
	return nil
}

// parts reads lines into the calendar that they make (3.4, 3.6); nil where they
// make none.
func (c *checker) parts(lines []line) *part {
	var open []*part
	var calendar *part
	for _, l := range lines {
		p, ok := c.prop(l)
		if !ok {
			continue
		}
		name := strings.ToUpper(p.value)
		switch {
		case p.name == "BEGIN":
			begun := &part{name: name, line: l.number}
			switch {
			case len(open) > 0:
				open[len(open)-1].parts = append(open[len(open)-1].parts, begun)
			case calendar != nil:
				c.fault(l.number, "3.4", "more than one object")
			case name != "VCALENDAR":
				c.fault(l.number, "3.4", "the object is a %s", name)
			}
			if len(open) == 0 && calendar == nil {
				calendar = begun
			}
			open = append(open, begun)
		case p.name == "END":
			if len(open) == 0 || open[len(open)-1].name != name {
				c.fault(l.number, "3.6", "END:%s ends nothing", name)
				return nil
			}
			open = open[:len(open)-1]
		case len(open) == 0:
			c.fault(l.number, "3.4", "%s outside of an object", p.name)
		default:
			inner := open[len(open)-1]
			inner.props = append(inner.props, p)
		}
	}
	if len(open) > 0 {
		c.fault(open[len(open)-1].line, "3.6", "%s has no end", open[len(open)-1].name)
	}
	if calendar == nil {
		c.fault(0, "3.4", "there is no object")
	}
	return calendar
}
