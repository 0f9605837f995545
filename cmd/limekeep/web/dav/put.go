package dav

import (
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"

	"github.com/emersion/go-ical"
)

// mostObjectBytes is what an object may weigh (CALDAV:max-resource-size): far
// more than a to-do with its texts and zone.
const mostObjectBytes = 64 << 10

// put stores an object, which is checked here before the collection gets it.
func (h *handler) put(w http.ResponseWriter, r *request) error {
	if r.to.kind != object {
		return h.refusePlace(w, r)
	}
	if err := storable(r.Header); err != nil {
		return err
	}
	body, err := io.ReadAll(io.LimitReader(r.Body, mostObjectBytes+1))
	if err != nil {
		return readFailure(err)
	}
	if len(body) > mostObjectBytes {
		return &Refusal{MaxResourceSize, fmt.Sprintf("A to-do can hold %d bytes at most.", mostObjectBytes)}
	}
	sent, err := readObject(body)
	if err != nil {
		return err
	}
	match, err := h.conditionsOf(r)
	if err != nil {
		return err
	}
	uid := uidOf(sent)
	taken, err := h.Collection.Put(r.Context(), r.app, r.to.name, sent, match)
	if err != nil {
		return h.elaborate(r, err, uid)
	}
	if taken.AsSent { // else the app has to fetch it (RFC 4791, 5.3.4)
		setValidators(w.Header(), &taken.Object)
	}
	status := http.StatusNoContent // RFC 9110, 9.3.4
	if taken.Created {
		status = http.StatusCreated
	}
	w.WriteHeader(status)
	return nil
}

// storable checks what the headers say about the object.
func storable(h http.Header) error {
	if sent := h.Get("Content-Type"); sent != "" {
		media, parameters, err := mime.ParseMediaType(sent)
		if charset := parameters["charset"]; err != nil || media != ical.MIMEType ||
			charset != "" && !strings.EqualFold(charset, "utf-8") && !strings.EqualFold(charset, "us-ascii") {
			return &Refusal{supportedData, fmt.Sprintf("A to-do is stored as text/calendar in UTF-8, not as %q.", sent)}
		}
	}
	if sent := h.Get("Content-Encoding"); sent != "" && !strings.EqualFold(sent, "identity") {
		return &failure{http.StatusUnsupportedMediaType, "A to-do is stored without a content coding."}
	}
	if h.Get("Content-Range") != "" { // RFC 9110, 14.5
		return &failure{http.StatusBadRequest, "A to-do is stored whole, not by ranges."}
	}
	return nil
}

// readFailure tells a body that broke off or is too large from a fault here.
func readFailure(err error) error {
	var tooBig *http.MaxBytesError
	if errors.As(err, &tooBig) {
		return err
	}
	return &failure{http.StatusBadRequest, "The request broke off before its end."}
}

// refusePlace refuses to store where no object can be.
func (h *handler) refusePlace(w http.ResponseWriter, r *request) error {
	if r.to.kind != nothing {
		return notAllowed(w, r.to.kind) // RFC 4918, 9.7.2
	}
	switch h.paths.find(parent(r.URL.EscapedPath())).kind {
	case nothing, object: // RFC 4918, 9.7.1
		return &failure{http.StatusConflict, "There is no collection at this address to put anything into."}
	case collection:
		return &failure{http.StatusForbidden, fmt.Sprintf("The last part of the address cannot name a to-do: it can hold %d bytes without control characters.", mostNameBytes)}
	}
	return &failure{http.StatusForbidden, "To-dos are put into " + h.paths.collection + " only."}
}

// elaborate adds to a refusal what its element is to say.
func (h *handler) elaborate(r *request, err error, uid string) error {
	var refused *Refusal
	if !errors.As(err, &refused) {
		return err
	}
	s, renderErr := h.rendered(r.Context())
	if renderErr != nil {
		return err // the refusal stands without
	}
	switch refused.Condition {
	case NeedPrivileges: // RFC 3744, 7.1.1: which privilege is missing, and where
		href, privilege := h.paths.collection, "bind"
		switch {
		case r.Method == http.MethodDelete:
			privilege = "unbind"
		case s.find(r.to.name) != nil:
			href, privilege = h.paths.object(r.to.name), "write-content"
		}
		return &elaborated{refused, "<D:resource>" + hrefElement(href) + "<D:privilege><D:" + privilege + "/></D:privilege></D:resource>"}
	case NoUIDConflict: // RFC 4791, 5.3.2.1: where the UID is already
		for i := range s.objects {
			if o := &s.objects[i]; o.Name != r.to.name && uidOf(o.Calendar) == uid {
				return &elaborated{refused, hrefElement(h.paths.object(o.Name))}
			}
		}
	}
	return err
}
