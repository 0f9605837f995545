package dav

import (
	"encoding/xml"
	"net/http"
)

// propfind answers PROPFIND (RFC 4918, 9.1).
func (h *handler) propfind(w http.ResponseWriter, r *request) error {
	body, err := readBody(w, r.Request)
	if err != nil {
		return err
	}
	a := propRequest{form: allProps} // what an empty body means
	if body != nil {
		if !body.is(nsDAV, "propfind") {
			return &failure{http.StatusBadRequest, "PROPFIND carries a DAV:propfind element."}
		}
		if a, err = propRequestOf(body); err != nil {
			return err
		}
		if a.form == addressesOnly {
			return &failure{http.StatusBadRequest, "A propfind element asks for prop, allprop or propname."}
		}
	}
	depth, err := depthOf(r.Header, "infinity")
	if err != nil {
		return err
	}
	if depth == "infinity" && r.to.kind == object {
		depth = "0" // nothing lies below it
	}
	if depth == "infinity" {
		return &Refusal{finiteDepth, "Ask with Depth 0 or 1."}
	}
	if r.to.kind == nothing {
		return errNotThere
	}
	s, err := h.rendered(r.Context())
	if err != nil {
		return err
	}
	m := newMultistatus(r.Request)
	if err := m.resources(s, r.to, depth == "1", a); err != nil {
		return err
	}
	return m.send(w)
}

// resources tells the properties of a target, and of what lies right below it
// where members are wanted.
func (m *multistatus) resources(s *rendered, to target, members bool, a propRequest) error {
	one := func(r *resource) { m.found(r, selectFor(a, r.layout, false), "") }
	switch to.kind {
	case root:
		one(&s.root)
		if members {
			one(&s.principal)
		}
	case principal:
		one(&s.principal)
		if members {
			one(&s.home)
		}
	case home:
		one(&s.home)
		if members {
			one(&s.collection)
		}
	case collection:
		one(&s.collection)
		if members && len(s.objects) > 0 {
			p := selectFor(a, s.objects[0].layout, false)
			for i := range s.objects {
				m.found(&s.objects[i].resource, p, "")
			}
		}
	case object:
		o := s.find(to.name)
		if o == nil {
			return errNotThere
		}
		one(&o.resource)
	}
	return nil
}

// proppatch answers PROPPATCH: no property can be set. Apps that try to give a
// collection a colour expect to read of each property that it stays (RFC 4918,
// 9.2.1).
func (h *handler) proppatch(w http.ResponseWriter, r *request) error {
	body, err := readBody(w, r.Request)
	if err != nil {
		return err
	}
	if body == nil || !body.is(nsDAV, "propertyupdate") {
		return &failure{http.StatusBadRequest, "PROPPATCH carries a DAV:propertyupdate element."}
	}
	s, err := h.rendered(r.Context())
	if err != nil {
		return err
	}
	if r.to.kind == nothing || r.to.kind == object && s.find(r.to.name) == nil {
		return errNotThere
	}
	m := newMultistatus(r.Request)
	m.WriteString("<D:response>" + hrefElement(h.paths.of(r.to)) + propstatOpen)
	seen := map[xml.Name]bool{}
	for _, change := range body.children { // set or remove
		props := change.child(nsDAV, "prop")
		if props == nil {
			continue
		}
		for _, p := range props.children {
			if !seen[p.name] {
				seen[p.name] = true
				writeName(&m.Buffer, p.name)
			}
		}
	}
	if len(seen) == 0 {
		return &failure{http.StatusBadRequest, "The propertyupdate element names no property."}
	}
	m.WriteString("</D:prop><D:status>HTTP/1.1 403 Forbidden</D:status><D:error>" + protectedProperty.element("") + "</D:error></D:propstat></D:response>")
	m.minimal = false
	return m.send(w)
}
