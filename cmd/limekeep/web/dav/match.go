package dav

import (
	"context"
	"strings"
	"time"

	"github.com/emersion/go-ical"
)

// candidate is an object that a filter is held against.
type candidate struct {
	ctx   context.Context // of the request
	todos []*todo
	zone  *time.Location // of floating times
	zones *zones
}

// matches reports whether an object meets a filter (RFC 4791, 9.7).
func (f *compFilter) matches(ctx context.Context, o *renderedObject, zone *time.Location, z *zones) bool {
	m := &candidate{ctx: ctx, todos: o.times(z), zone: zone, zones: z}
	return !f.isNotDefined && m.component(f, o.Calendar.Component, nil)
}

// component reports whether a component of the right name meets what a filter says
// more. Within is the to-do that it lies in, for alarms.
func (m *candidate) component(f *compFilter, c *ical.Component, within *todo) bool {
	t := m.todo(c)
	if f.timeRange != nil && !m.inRange(f.timeRange, c, t, within) {
		return false
	}
	for i := range f.props {
		if !m.property(&f.props[i], c, t) {
			return false
		}
	}
	for i := range f.comps {
		if !m.children(&f.comps[i], c, t) {
			return false
		}
	}
	return true
}

// children reports whether one of the components in a component meets a filter,
// or none is there where that is what is asked.
func (m *candidate) children(f *compFilter, c *ical.Component, within *todo) bool {
	for _, child := range c.Children {
		if child.Name != f.name {
			continue
		}
		if f.isNotDefined {
			return false
		}
		if m.component(f, child, within) {
			return true
		}
	}
	return f.isNotDefined
}

func (m *candidate) todo(c *ical.Component) *todo {
	if c.Name == ical.CompToDo {
		for _, t := range m.todos {
			if t.Component == c {
				return t
			}
		}
	}
	return nil
}

// inRange reports whether a to-do or an alarm in one overlaps a time range in any
// of its occurrences. Components of other kinds are in no range: there are none
// with times in this collection.
func (m *candidate) inRange(r *timeRange, c *ical.Component, t, within *todo) bool {
	if t != nil {
		return t.any(m.ctx, m.zone, r, 0, r.overlaps)
	}
	if within == nil {
		return false
	}
	for _, a := range within.alarms {
		if a.Component != c {
			continue
		}
		rings := func(o occurrence) bool { return a.rings(o, m.zone, r) }
		if a.at.known() { // at one time, whatever the occurrence
			return rings(within.first(m.zone))
		}
		return within.any(m.ctx, m.zone, r, a.reach(), rings)
	}
	return false
}

// property reports whether one of the properties of a name meets a filter.
func (m *candidate) property(f *propFilter, c *ical.Component, t *todo) bool {
	props := c.Props[f.name]
	if f.isNotDefined {
		return len(props) == 0
	}
	if f.timeRange != nil && f.text == nil && len(f.params) == 0 && t != nil {
		// RFC 4791, 9.9: every occurrence counts, and where there is no DUE, what
		// DTSTART and DURATION make of it.
		switch f.name {
		case ical.PropDateTimeStart:
			return t.any(m.ctx, m.zone, f.timeRange, 0, func(o occurrence) bool {
				return !o.start.IsZero() && f.timeRange.holds(o.start)
			})
		case ical.PropDue:
			return t.any(m.ctx, m.zone, f.timeRange, 0, func(o occurrence) bool {
				return !o.end().IsZero() && f.timeRange.holds(o.end())
			})
		}
	}
	for i := range props {
		if m.oneProperty(f, &props[i]) {
			return true
		}
	}
	return false
}

func (m *candidate) oneProperty(f *propFilter, p *ical.Prop) bool {
	if f.timeRange != nil {
		at := instantOf(p, m.zones)
		if !at.known() || !f.timeRange.holds(at.in(m.zone)) {
			return false
		}
	}
	if f.text != nil && !f.text.matches(plainText(p)) {
		return false
	}
	for _, param := range f.params {
		if !param.matches(p.Params[param.name]) {
			return false
		}
	}
	return true
}

func (f *paramFilter) matches(values []string) bool {
	if f.isNotDefined {
		return len(values) == 0
	}
	if len(values) == 0 || f.text == nil {
		return len(values) > 0
	}
	for _, value := range values {
		if f.text.matches(value) {
			return true
		}
	}
	return false
}

func (m *textMatch) matches(text string) bool {
	if !m.octet {
		text = lowerASCII(text)
	}
	return strings.Contains(text, m.text) != m.negate
}

// unescape takes the escapes out of a text (RFC 5545, 3.3.11).
var unescape = strings.NewReplacer(`\\`, `\`, `\;`, ";", `\,`, ",", `\n`, "\n", `\N`, "\n")

// plainText returns the value of a property as people read it.
func plainText(p *ical.Prop) string {
	if strings.IndexByte(p.Value, '\\') < 0 {
		return p.Value
	}
	switch p.ValueType() {
	case ical.ValueText, ical.ValueDefault:
		return unescape.Replace(p.Value)
	}
	return p.Value
}
