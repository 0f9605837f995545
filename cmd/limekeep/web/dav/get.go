package dav

import (
	"bytes"
	"net/http"
)

// contentType is the media type of an object (RFC 5545, 8.1).
const contentType = "text/calendar; charset=utf-8; component=VTODO"

// get answers GET and HEAD of an object, conditional or not (RFC 9110, 13.1).
// Collections have nothing to show.
func (h *handler) get(w http.ResponseWriter, r *request) error {
	if r.to.kind != object {
		return notAllowed(w, r.to.kind)
	}
	s, err := h.rendered(r.Context())
	if err != nil {
		return err
	}
	o := s.find(r.to.name)
	if o == nil {
		return errNotThere
	}
	w.Header().Set("Content-Type", contentType)
	w.Header().Set("ETag", o.entityTag())
	http.ServeContent(w, r.Request, "", o.Modified, bytes.NewReader(o.Data))
	return nil
}

// setValidators says which version of an object an answer is about (RFC 9110, 8.8).
func setValidators(h http.Header, o *Object) {
	h.Set("ETag", o.entityTag())
	h.Set("Last-Modified", o.Modified.UTC().Format(http.TimeFormat))
}
