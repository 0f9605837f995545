package dav

import (
	"time"

	"github.com/emersion/go-ical"
)

// mostExpanded is how many occurrences one to-do is expanded to.
const mostExpanded = 1000

// expanded writes a to-do that recurs as its occurrences in a time range
// (RFC 4791, 9.6.5): no rules, no zones, times in UTC. A to-do that does not
// recur, or whose rule is not followed, stays as it is.
func expanded(data []byte, r *timeRange, m *candidate) []byte {
	recurs := false
	for _, t := range m.todos {
		if t.recurrence != nil {
			recurs = true
			if t.recurrence.odd {
				return data
			}
		}
	}
	if !recurs {
		return data
	}
	before, components, after := split(data)
	out := append(make([]byte, 0, len(data)), before...)
	nth := 0
	for _, c := range components {
		switch {
		case c.name == ical.CompTimezone:
		case c.name == ical.CompToDo && nth < len(m.todos):
			out = append(out, m.occurrencesOf(c.raw, m.todos[nth], r)...)
			nth++
		default:
			out = append(out, c.raw...)
		}
	}
	return append(out, after...)
}

// rawComponent is a component as it stands in the bytes of a calendar.
type rawComponent struct {
	name string
	raw  []byte
}

// split takes a calendar apart into its components, and what stands before and
// after them.
func split(data []byte) (before []byte, components []rawComponent, after []byte) {
	depth := 0
	for l := range contentLines(data) {
		if l.name == "BEGIN" {
			if depth++; depth == 2 {
				components = append(components, rawComponent{name: l.component()})
			}
		}
		switch last := len(components) - 1; {
		case depth > 1:
			components[last].raw = append(components[last].raw, l.raw...)
		case last < 0:
			before = append(before, l.raw...)
		default:
			after = append(after, l.raw...)
		}
		if l.name == "END" {
			depth--
		}
	}
	return before, components, after
}

// occurrencesOf writes a VTODO once for each of its occurrences in the range.
func (m *candidate) occurrencesOf(component []byte, t *todo, r *timeRange) []byte {
	var out []byte
	write := func(o occurrence, at time.Time) {
		depth := 0
		for l := range contentLines(component) {
			switch l.name {
			case "BEGIN":
				depth++
			case "END":
				depth--
			}
			own := depth == 1 // not of an alarm
			switch {
			case own && l.name == ical.PropDateTimeStart:
				out = append(out, utcLine(l.name, o.start, t.start)...)
			case own && l.name == ical.PropDue:
				out = append(out, utcLine(l.name, o.due, t.due)...)
			case own && (l.name == ical.PropRecurrenceRule || l.name == ical.PropRecurrenceDates || l.name == ical.PropExceptionDates || l.name == ical.PropRecurrenceID):
			case depth == 0 && l.name == "END":
				if !at.IsZero() {
					out = append(out, utcLine(ical.PropRecurrenceID, at, t.anchor())...)
				}
				out = append(out, l.raw...)
			default:
				out = append(out, l.raw...)
			}
		}
	}
	first := t.first(m.zone)
	if t.recurrence == nil {
		if r.overlaps(first) {
			write(first, t.replaces(m.zone))
		}
		return out
	}
	anchor := t.anchor().in(m.zone)
	starts, ok := t.recurrence.begins(m.ctx, anchor, m.zone, r.widened(first.length()))
	if !ok {
		return component
	}
	n := 0
	for _, at := range starts {
		if o := first.moved(anchor, at); n < mostExpanded && r.overlaps(o) {
			write(o, at)
			n++
		}
	}
	return out
}

// replaces returns which occurrence a changed one stands for, zero where it stands
// for none.
func (t *todo) replaces(zone *time.Location) time.Time {
	if !t.instead.known() {
		return time.Time{}
	}
	return t.instead.in(zone)
}

// utcLine writes a property with a time in UTC, or with a date where it has been
// one.
func utcLine(name string, at time.Time, was instant) string {
	if was.day {
		return name + ";VALUE=DATE:" + at.Format("20060102") + "\r\n"
	}
	return name + ":" + at.UTC().Format("20060102T150405Z") + "\r\n"
}
