package dav

import (
	"net/http"
	"net/url"
	"time"
)

// query answers calendar-query (RFC 4791, 7.8).
func (h *handler) query(m *multistatus, s *rendered, r *request, body *node) error {
	a, err := propRequestOf(body)
	if err != nil {
		return err
	}
	filter, err := filterOf(body.child(nsCalDAV, "filter"))
	if err != nil {
		return err
	}
	zone, err := h.queryZone(body)
	if err != nil {
		return err
	}
	// RFC 3253, 3.6 has a missing Depth mean 0, of which a collection has
	// nothing to tell. No app means that.
	depth, err := depthOf(r.Header, "1")
	if err != nil {
		return err
	}
	rep := h.reporter(r.Context(), m, s, a, zone)
	if r.to.kind == object {
		if o := s.find(r.to.name); filter.matches(r.Context(), o, rep.zone, h.zones) {
			rep.object(o)
		}
		return nil
	}
	if depth == "0" {
		return nil
	}
	for i := range s.objects {
		if o := &s.objects[i]; filter.matches(r.Context(), o, rep.zone, h.zones) {
			rep.object(o)
		}
	}
	return nil
}

// queryZone reads the zone that floating times are to be taken in (RFC 4791,
// 9.8), nil where none is named.
func (h *handler) queryZone(body *node) (*time.Location, error) {
	n := body.child(nsCalDAV, "timezone")
	if n == nil {
		return nil, nil
	}
	cal, err := readCalendar(n.text)
	if err != nil {
		return nil, &Refusal{ValidCalendarData, "The time zone of the query is not a calendar: " + err.Error() + "."}
	}
	zone, ok := h.zones.of(cal)
	if !ok {
		return nil, &Refusal{ValidCalendarData, "The time zone of the query is not one VTIMEZONE with a name of the time zone database."}
	}
	return zone, nil
}

// multiget answers calendar-multiget (RFC 4791, 7.9).
func (h *handler) multiget(m *multistatus, s *rendered, r *request, body *node) error {
	a, err := propRequestOf(body)
	if err != nil {
		return err
	}
	rep := h.reporter(r.Context(), m, s, a, nil)
	seen := map[string]bool{} // each address has one response (RFC 4918, 14.24)
	for _, n := range body.children {
		if !n.is(nsDAV, "href") {
			continue
		}
		path, ok := pathOf(string(n.text))
		if !ok {
			return &failure{http.StatusBadRequest, "An href of the request is not a URI."}
		}
		to := h.paths.find(path)
		var o *renderedObject
		if to.kind == object {
			path, o = h.paths.object(to.name), s.find(to.name)
		}
		if seen[path] {
			continue
		}
		seen[path] = true
		if o == nil {
			m.status(path, http.StatusNotFound, "")
			continue
		}
		rep.object(o)
	}
	if len(seen) == 0 {
		return &failure{http.StatusBadRequest, "A calendar-multiget names at least one href."}
	}
	return nil
}

// pathOf returns the percent-encoded path of an href, which can be a whole
// address. An app is taken to mean this server.
func pathOf(href string) (string, bool) {
	u, err := url.Parse(trimSpace(href))
	if err != nil || u.Opaque != "" {
		return "", false
	}
	return u.EscapedPath(), true
}
