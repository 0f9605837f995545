package dav

import (
	"fmt"
	"strings"
)

// dataRequest says how calendar data is to be given (RFC 4791, 9.6). Its zero value
// asks for the whole of it.
type dataRequest struct {
	comp   *compRequest
	expand *timeRange
}

// compRequest names what is wanted of a component (RFC 4791, 9.6.1).
type compRequest struct {
	name     string
	allProps bool
	props    map[string]bool // by name; true is without its value
	allComps bool
	comps    []*compRequest
}

// dataRequestOf reads a CALDAV:calendar-data element of a report.
//
// To-dos are given with all their occurrences also where only those changed in a
// time range are asked for (limit-recurrence-set): there are hardly any, and an
// app that gets more leaves them out itself. Free and busy times
// (limit-freebusy-set) there are none.
func dataRequestOf(n *node) (*dataRequest, error) {
	media, ok := n.attr("content-type")
	version, okVersion := n.attr("version")
	if ok && !strings.EqualFold(media, "text/calendar") || okVersion && version != "2.0" {
		return nil, &Refusal{supportedData, fmt.Sprintf("Calendar data is text/calendar of version 2.0 here, not %s of version %s.", media, version)}
	}
	a := &dataRequest{}
	if c := n.child(nsCalDAV, "comp"); c != nil {
		asked, err := compRequestOf(c)
		if err != nil {
			return nil, err
		}
		a.comp = asked
	}
	if e := n.child(nsCalDAV, "expand"); e != nil {
		r, err := timeRangeOf(e)
		if err != nil {
			return nil, err
		}
		if r.start.IsZero() || r.end.IsZero() {
			return nil, &Refusal{validFilter, "To expand needs a start and an end (RFC 4791, 9.6.5)."}
		}
		a.expand = r
	}
	return a, nil
}

func compRequestOf(n *node) (*compRequest, error) {
	name, err := filterName(n)
	if err != nil {
		return nil, err
	}
	a := &compRequest{
		name:     name,
		allProps: n.child(nsCalDAV, "allprop") != nil,
		allComps: n.child(nsCalDAV, "allcomp") != nil,
		props:    map[string]bool{},
	}
	for _, c := range n.children {
		switch {
		case c.is(nsCalDAV, "prop"):
			name, err := filterName(c)
			if err != nil {
				return nil, err
			}
			without, _ := c.attr("novalue")
			a.props[name] = without == "yes"
		case c.is(nsCalDAV, "comp"):
			inner, err := compRequestOf(c)
			if err != nil {
				return nil, err
			}
			a.comps = append(a.comps, inner)
		}
	}
	// One that names nothing means everything, as the VTIMEZONE in the example of
	// RFC 4791, 7.8.1 does; one that names only components keeps its properties,
	// or what comes out would be no calendar.
	if len(a.props) == 0 {
		a.allProps = true
		if len(a.comps) == 0 {
			a.allComps = true
		}
	}
	return a, nil
}

// inner returns what is wanted of a component inside, nil where it is not wanted.
func (a *compRequest) inner(name string) *compRequest {
	for _, c := range a.comps {
		if c.name == name {
			return c
		}
	}
	if a.allComps {
		return &compRequest{name: name, allProps: true, allComps: true}
	}
	return nil
}

// element returns the CALDAV:calendar-data element of an object.
func (a *dataRequest) element(o *renderedObject, m *candidate) string {
	if a.comp == nil && a.expand == nil {
		return o.data
	}
	data := o.Data
	if a.expand != nil {
		data = expanded(data, a.expand, m)
	}
	if a.comp != nil {
		data = a.comp.part(data)
	}
	return dataElement(data)
}

// part picks lines of a calendar as they stand.
func (a *compRequest) part(data []byte) []byte {
	picked := make([]byte, 0, len(data))
	open := []*compRequest{} // nil: not wanted
	for l := range contentLines(data) {
		switch l.name {
		case "BEGIN":
			var inner *compRequest
			switch {
			case len(open) > 0 && open[len(open)-1] != nil:
				inner = open[len(open)-1].inner(l.component())
			case len(open) == 0 && l.component() == a.name:
				inner = a
			}
			if open = append(open, inner); inner != nil {
				picked = append(picked, l.raw...)
			}
			continue
		case "END":
			if len(open) > 0 {
				if open[len(open)-1] != nil {
					picked = append(picked, l.raw...)
				}
				open = open[:len(open)-1]
			}
			continue
		}
		if len(open) == 0 || open[len(open)-1] == nil {
			continue
		}
		asked := open[len(open)-1]
		switch without, named := asked.props[l.name]; {
		case named && without:
			line := l.unfolded()
			picked = append(append(picked, line[:valueAt(line)+1]...), "\r\n"...)
		case named, asked.allProps:
			picked = append(picked, l.raw...)
		}
	}
	return picked
}
