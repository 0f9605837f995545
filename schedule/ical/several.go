package ical

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/agenda"
)

// EncodeAll writes the agendas of several places as one calendar under a name. Each entry
// says where it is: before its summary and as its location. Its UID is that of the
// place's own calendar. The same agendas give the same bytes; there must be one at least,
// since a calendar holds a component.
func EncodeAll(w io.Writer, name string, agendas []agenda.Agenda) error {
	cal := newCalendar(name)
	type span struct{ first, last time.Time }
	spans := map[string]*span{}
	var zones []*time.Location
	for _, a := range agendas {
		first, last := spanOf(a)
		s, ok := spans[a.Zone.String()]
		if !ok {
			zones = append(zones, a.Zone)
			spans[a.Zone.String()] = &span{first, last}
			continue
		}
		if first.Before(s.first) {
			s.first = first
		}
		if last.After(s.last) {
			s.last = last
		}
	}
	for _, zone := range zones {
		s := spans[zone.String()]
		cal.Children = append(cal.Children, descriptionsOf(zone).of(s.first, s.last.AddDate(0, 0, 2)))
	}
	for _, a := range agendas {
		for _, e := range events(a) {
			sayWhere(e, a.Name)
			cal.Children = append(cal.Children, e)
		}
	}
	if err := goical.NewEncoder(&lineFolder{w: w}).Encode(cal); err != nil {
		return fmt.Errorf("the calendar of several places: %w", err)
	}
	return nil
}

// sayWhere puts the name of a place before an entry's summary, and gives it as location.
func sayWhere(e *goical.Component, place string) {
	if strings.TrimSpace(clean(place)) == "" {
		return
	}
	if summary, err := e.Props.Text(goical.PropSummary); err == nil && summary != "" {
		setText(e.Props, goical.PropSummary, place+": "+summary)
	}
	if e.Props.Get(goical.PropLocation) == nil {
		setText(e.Props, goical.PropLocation, place)
	}
}

// AtPlace returns the object of a to-do that says at which place it is, for task apps
// that show several in one list: the same but for its summary and its location.
func AtPlace(todo *goical.Calendar, place string) (*goical.Calendar, []byte, error) {
	named := &goical.Calendar{Component: copyOf(todo.Component)}
	for _, c := range named.Children {
		if c.Name == goical.CompToDo {
			sayWhere(c, place)
		}
	}
	var b bytes.Buffer
	if err := goical.NewEncoder(&lineFolder{w: &b}).Encode(named); err != nil {
		return nil, nil, fmt.Errorf("a to-do of %s: %w", place, err)
	}
	return named, b.Bytes(), nil
}

// WithoutPlace returns an object as AtPlace was given it, from what an app made of that.
func WithoutPlace(todo *goical.Calendar, place string) *goical.Calendar {
	plain := &goical.Calendar{Component: copyOf(todo.Component)}
	for _, c := range plain.Children {
		if summary, err := c.Props.Text(goical.PropSummary); err == nil && c.Name == goical.CompToDo {
			if rest, ok := strings.CutPrefix(summary, clean(place)+": "); ok {
				setText(c.Props, goical.PropSummary, rest)
			}
		}
	}
	return plain
}

// copyOf copies a component so far that its summary and location can be changed.
func copyOf(c *goical.Component) *goical.Component {
	out := &goical.Component{Name: c.Name, Props: make(goical.Props, len(c.Props)), Children: make([]*goical.Component, len(c.Children))}
	for name, props := range c.Props {
		out.Props[name] = slices.Clone(props)
	}
	for i, child := range c.Children {
		out.Children[i] = copyOf(child)
	}
	return out
}
