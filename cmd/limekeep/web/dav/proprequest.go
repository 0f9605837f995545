package dav

import (
	"encoding/xml"
	"fmt"
	"net/http"
)

// propRequest is which properties a request is about (RFC 4918, 14.20).
type propRequest struct {
	form  propForm
	names []xml.Name   // asked for, or included beside all
	data  *dataRequest // how calendar data is asked for; nil where it is not
}

type propForm int

const (
	addressesOnly propForm = iota // a report may ask for addresses alone
	namedProps                    // DAV:prop
	allProps                      // DAV:allprop
	propNames                     // DAV:propname
)

// mostNames is how many properties one request may name: each comes back for
// every object.
const mostNames = 200

// propRequestOf reads what is asked for among the children of a request's element.
func propRequestOf(n *node) (propRequest, error) {
	var a propRequest
	for _, c := range n.children {
		var form propForm
		switch {
		case c.is(nsDAV, "prop"):
			form = namedProps
		case c.is(nsDAV, "allprop"):
			form = allProps
		case c.is(nsDAV, "propname"):
			form = propNames
		default:
			continue
		}
		if a.form != addressesOnly {
			return a, &failure{http.StatusBadRequest, "One of prop, allprop and propname is asked for at a time (RFC 4918, 14.20)."}
		}
		a.form = form
		if form == namedProps {
			if err := a.add(c); err != nil {
				return a, err
			}
		}
	}
	if include := n.child(nsDAV, "include"); include != nil && a.form == allProps {
		if err := a.add(include); err != nil {
			return a, err
		}
	}
	return a, nil
}

// add takes up the properties that an element names, each once.
func (a *propRequest) add(n *node) error {
	seen := map[xml.Name]bool{}
	for _, c := range n.children {
		if seen[c.name] {
			continue
		}
		seen[c.name] = true
		if len(a.names) == mostNames {
			return &failure{http.StatusBadRequest, fmt.Sprintf("More than %d properties are asked for.", mostNames)}
		}
		a.names = append(a.names, c.name)
		if c.name == nameCalendarData {
			data, err := dataRequestOf(c)
			if err != nil {
				return err
			}
			a.data = data
		}
	}
	return nil
}
