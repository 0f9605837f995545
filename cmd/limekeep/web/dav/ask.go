package dav

import (
	"encoding/xml"
	"fmt"
	"net/http"
)

// ask is which properties a request is about (RFC 4918, 14.20).
type ask struct {
	form  askForm
	names []xml.Name // asked for, or included beside all
	data  *dataAsk   // how calendar data is asked for; nil where it is not
}

type askForm int

const (
	askNone  askForm = iota // a report may ask for addresses alone
	askNamed                // DAV:prop
	askAll                  // DAV:allprop
	askNames                // DAV:propname
)

// mostNames is how many properties one request may name: each comes back for
// every object.
const mostNames = 200

// askOf reads what is asked for among the children of a request's element.
func askOf(n *node) (ask, error) {
	var a ask
	for _, c := range n.children {
		form := askNone
		switch {
		case c.is(nsDAV, "prop"):
			form = askNamed
		case c.is(nsDAV, "allprop"):
			form = askAll
		case c.is(nsDAV, "propname"):
			form = askNames
		default:
			continue
		}
		if a.form != askNone {
			return a, &failure{http.StatusBadRequest, "One of prop, allprop and propname is asked for at a time (RFC 4918, 14.20)."}
		}
		a.form = form
		if form == askNamed {
			if err := a.add(c); err != nil {
				return a, err
			}
		}
	}
	if include := n.child(nsDAV, "include"); include != nil && a.form == askAll {
		if err := a.add(include); err != nil {
			return a, err
		}
	}
	return a, nil
}

// add takes up the properties that an element names, each once.
func (a *ask) add(n *node) error {
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
			data, err := dataAskOf(c)
			if err != nil {
				return err
			}
			a.data = data
		}
	}
	return nil
}
