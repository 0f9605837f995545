package dav

import (
	"fmt"
	"slices"
	"strings"
)

// compFilter asks about a component (RFC 4791, 9.7.1).
type compFilter struct {
	name         string
	isNotDefined bool
	timeRange    *timeRange
	props        []propFilter
	comps        []compFilter
}

// propFilter asks about a property (RFC 4791, 9.7.2).
type propFilter struct {
	name         string
	isNotDefined bool
	timeRange    *timeRange
	text         *textMatch
	params       []paramFilter
}

// paramFilter asks about a parameter (RFC 4791, 9.7.3).
type paramFilter struct {
	name         string
	isNotDefined bool
	text         *textMatch
}

// textMatch asks for a part of a text (RFC 4791, 9.7.5).
type textMatch struct {
	text   string // in lower case unless octet
	octet  bool
	negate bool
}

// Collations that texts are compared by (RFC 4791, 7.5; RFC 4790, 9.2 and 9.3).
const (
	collationASCII = "i;ascii-casemap"
	collationOctet = "i;octet"
)

// mostFilters is how many parts a filter may have, each of which every to-do is held
// against (assumption: apps send fewer than ten).
const mostFilters = 200

// countFilters counts the elements within one.
func countFilters(n *node, so int) int {
	for _, c := range n.children {
		so = countFilters(c, so+1)
	}
	return so
}

// filterOf reads CALDAV:filter.
func filterOf(n *node) (*compFilter, error) {
	if n == nil || len(n.children) != 1 || !n.children[0].is(nsCalDAV, "comp-filter") {
		return nil, &Refusal{validFilter, "A filter holds one comp-filter (RFC 4791, 9.7)."}
	}
	if filters := countFilters(n, 0); filters > mostFilters {
		return nil, &Refusal{validFilter, fmt.Sprintf("A filter of more than %d parts is not looked at: ask for less at once.", mostFilters)}
	}
	f, err := compFilterOf(n.children[0], "")
	if err != nil {
		return nil, err
	}
	return f, nil
}

// readFilter reads what all filters have, a name and is-not-defined, which stands
// alone; everything else it holds is for take to read.
func readFilter(n *node, take func(name string, c *node) error) (name string, isNotDefined bool, err error) {
	if name, err = filterName(n); err != nil {
		return "", false, err
	}
	for _, c := range n.children {
		if c.is(nsCalDAV, "is-not-defined") {
			isNotDefined = true
		} else if err := take(name, c); err != nil {
			return "", false, err
		}
	}
	if isNotDefined && len(n.children) > 1 {
		return "", false, alone(n)
	}
	return name, isNotDefined, nil
}

// within names the component that those asked about lie in; empty for the outermost.
func compFilterOf(n *node, within string) (*compFilter, error) {
	f := &compFilter{}
	var err error
	f.name, f.isNotDefined, err = readFilter(n, func(name string, c *node) (err error) {
		switch {
		case c.is(nsCalDAV, "time-range"):
			if f.timeRange != nil {
				return twice(c, n)
			}
			if name == "VCALENDAR" || name == "VTIMEZONE" {
				return &Refusal{supportedFilter, "A " + name + " has no time that a range could be asked of."}
			}
			f.timeRange, err = timeRangeOf(c)
		case c.is(nsCalDAV, "prop-filter"):
			var p *propFilter
			if p, err = propFilterOf(c); err == nil {
				f.props = append(f.props, *p)
			}
		case c.is(nsCalDAV, "comp-filter"):
			var inner *compFilter
			if inner, err = compFilterOf(c, name); err == nil {
				f.comps = append(f.comps, *inner)
			}
		default:
			err = unknownFilter(c)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	if !liesIn(f.name, within) {
		if within == "" {
			return nil, &Refusal{validFilter, "The outermost comp-filter is about VCALENDAR (RFC 4791, 9.7.1)."}
		}
		return nil, &Refusal{validFilter, fmt.Sprintf("There is no %s in a %s (RFC 5545, 3.6).", f.name, within)}
	}
	return f, nil
}

func propFilterOf(n *node) (*propFilter, error) {
	f := &propFilter{}
	var err error
	f.name, f.isNotDefined, err = readFilter(n, func(name string, c *node) (err error) {
		switch {
		case c.is(nsCalDAV, "time-range"), c.is(nsCalDAV, "text-match"):
			if f.timeRange != nil || f.text != nil { // RFC 4791, 9.7.2: one of the two
				return twice(c, n)
			}
			if c.name.Local == "text-match" {
				f.text, err = textMatchOf(c)
				return err
			}
			if timeless[name] {
				return &Refusal{validFilter, "A " + name + " has no time that a range could be asked of."}
			}
			f.timeRange, err = timeRangeOf(c)
		case c.is(nsCalDAV, "param-filter"):
			var p *paramFilter
			if p, err = paramFilterOf(c); err == nil {
				f.params = append(f.params, *p)
			}
		default:
			err = unknownFilter(c)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return f, nil
}

func paramFilterOf(n *node) (*paramFilter, error) {
	f := &paramFilter{}
	var err error
	f.name, f.isNotDefined, err = readFilter(n, func(_ string, c *node) (err error) {
		if !c.is(nsCalDAV, "text-match") {
			return unknownFilter(c)
		}
		if f.text != nil {
			return twice(c, n)
		}
		f.text, err = textMatchOf(c)
		return err
	})
	if err != nil {
		return nil, err
	}
	return f, nil
}

func textMatchOf(n *node) (*textMatch, error) {
	m := &textMatch{text: string(n.text)}
	switch collation, _ := n.attr("collation"); collation {
	case "", "default", collationASCII: // RFC 4791, 7.5: the default
		m.text = lowerASCII(m.text)
	case collationOctet:
		m.octet = true
	default:
		return nil, &Refusal{supportedCollation, fmt.Sprintf("Texts are not compared by %q here, only by %s and %s.", collation, collationASCII, collationOctet)}
	}
	switch negate, _ := n.attr("negate-condition"); negate {
	case "", "no":
	case "yes":
		m.negate = true
	default:
		return nil, &Refusal{validFilter, fmt.Sprintf("negate-condition is yes or no, not %q.", negate)}
	}
	return m, nil
}

// filterName reads the name a filter is about. Names are compared without case
// (RFC 5545, 2).
func filterName(n *node) (string, error) {
	name, ok := n.attr("name")
	if !ok || name == "" {
		return "", &Refusal{validFilter, "A " + n.name.Local + " has a name."}
	}
	return strings.ToUpper(name), nil
}

func alone(n *node) error {
	return &Refusal{validFilter, "is-not-defined stands alone in its " + n.name.Local + "."}
}

func twice(n, within *node) error {
	return &Refusal{validFilter, fmt.Sprintf("A %s holds no %s beside what is there already.", within.name.Local, n.name.Local)}
}

// unknownFilter refuses an element of a filter: one that belongs elsewhere in it
// makes the filter invalid, others may mean something to another server.
func unknownFilter(n *node) error {
	if n.name.Space == nsCalDAV && slices.Contains([]string{"comp-filter", "prop-filter", "param-filter", "text-match", "time-range"}, n.name.Local) {
		return &Refusal{validFilter, fmt.Sprintf("A %s does not belong there (RFC 4791, 9.7).", n.name.Local)}
	}
	return &Refusal{supportedFilter, fmt.Sprintf("The filter %s is not known here.", n.name.Local)}
}

// lowerASCII is the map of i;ascii-casemap (RFC 4790, 9.2): the letters of ASCII
// and no others.
func lowerASCII(s string) string {
	return strings.Map(func(r rune) rune {
		if 'A' <= r && r <= 'Z' {
			return r + 'a' - 'A'
		}
		return r
	}, s)
}
