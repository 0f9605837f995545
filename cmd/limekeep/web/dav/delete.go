package dav

import (
	"mime"
	"net/http"

	"github.com/emersion/go-ical"
)

// delete takes an object away. Collections stay.
func (h *handler) delete(w http.ResponseWriter, r *request) error {
	switch r.to.kind {
	case nothing:
		return errNotThere
	case object:
	default:
		return &Refusal{NeedPrivileges, "The collection of to-dos is part of the place and stays."}
	}
	match, err := h.conditionsOf(r)
	if err != nil {
		return err
	}
	err = h.Collection.Delete(r.Context(), r.app, r.to.name, func(o *Object) error {
		if err := match(o); err != nil {
			return err
		}
		if o == nil {
			return errNotThere
		}
		return nil
	})
	if err != nil {
		return h.elaborate(r, err, "")
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// makeCollection refuses MKCOL and MKCALENDAR: a place has one collection. The other
// reasons that RFC 4918, 9.3.1 has go before that one.
func (h *handler) makeCollection(w http.ResponseWriter, r *request) error {
	s, err := h.rendered(r.Context())
	if err != nil {
		return err
	}
	if r.to.kind > nothing && r.to.kind < object || s.find(r.to.name) != nil {
		return notAllowed(w, r.to.kind) // only where nothing is
	}
	if above := h.paths.find(parent(r.URL.EscapedPath())); above.kind == nothing || above.kind == object {
		return &failure{http.StatusConflict, "There is no collection at this address to make another one in."}
	}
	media, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if known := err == nil && (media == "application/xml" || media == "text/xml" || media == ical.MIMEType); r.ContentLength != 0 && !known {
		return &failure{http.StatusUnsupportedMediaType, "A collection is made without a body, or with XML."}
	}
	return &Refusal{locationOK, "A place has one collection of to-dos, " + h.paths.collection + "; others cannot be made."}
}

// copyMove refuses COPY and MOVE: a to-do belongs to its equipment and keeps its
// address.
func (h *handler) copyMove(_ http.ResponseWriter, r *request) error {
	s, err := h.rendered(r.Context())
	if err != nil {
		return err
	}
	if r.to.kind == nothing || r.to.kind == object && s.find(r.to.name) == nil {
		return errNotThere
	}
	return &failure{http.StatusForbidden, "To-dos are neither copied nor moved here. Store a new one instead."}
}
