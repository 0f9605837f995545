package web

import (
	"errors"
	"mime"
	"net/http"
	"net/url"
	"strings"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// errNotAForm says that a body was sent as something else than a form. To read
// it as an empty form would write down what nobody filled in.
var errNotAForm = errors.New("send the form as application/x-www-form-urlencoded")

// filledIn reads a form from a request's body; what stands in the address is
// not looked at.
func filledIn(r *http.Request) (url.Values, error) {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "application/x-www-form-urlencoded" {
		return nil, errNotAForm
	}
	if err := r.ParseForm(); err != nil {
		var tooLarge *http.MaxBytesError
		if errors.As(err, &tooLarge) {
			return nil, err
		}
		return nil, errNotAForm
	}
	return r.PostForm, nil
}

// failForm answers a body that is no form at all.
func (h *handler) failForm(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, errNotAForm) {
		h.message(w, r, http.StatusUnsupportedMediaType, "Not a form", "Nothing was written: "+err.Error()+".")
		return
	}
	h.fail(w, r, err)
}

// dateIn reads a day; blank leaves it to the journal, which takes today.
func dateIn(text string) (record.Date, error) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, nil
	}
	return record.ParseDate(text)
}

// numberIn reads a number that somebody typed; blank is 0.
func numberIn(field, text string) (float64, error) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, nil
	}
	return record.Number(field, text, "a number with a point, such as 12.5")
}

// noteIn reads a note of several lines the way browsers send it.
func noteIn(text string) string {
	return strings.TrimSpace(strings.ReplaceAll(text, "\r\n", "\n"))
}

// sent returns a form that was sent, and the day it is about. Where it cannot, it
// answers the request itself, and returns false.
func (h *handler) sent(w http.ResponseWriter, r *http.Request) (filled url.Values, opened *day.Day, ok bool) {
	filled, err := filledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return nil, nil, false
	}
	if opened, err = h.open(r.Context()); err != nil {
		h.fail(w, r, err)
		return nil, nil, false
	}
	return filled, opened, true
}

// takeOnce has a form written down that was read without a problem, once however
// often it is sent, and leads to the page that says so. It returns false where the
// form is to be corrected, and then holds what is wrong, or with an error that is
// about nothing in it.
func (h *handler) takeOnce(w http.ResponseWriter, r *http.Request, s *form, sent url.Values, write func() (record int64, err error), to string, pairs ...string) (bool, error) {
	if len(s.Problems()) > 0 {
		return false, nil
	}
	written, err := h.tokens.once(tokenOf(sent), write)
	switch {
	case err == nil:
		seeOther(w, r, to, written, pairs...)
		return true, nil
	case blamable(err):
		s.blame(err)
		return false, nil
	}
	return false, err
}
