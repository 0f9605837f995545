package web

import (
	"errors"
	"net/http"
	"net/url"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
)

// failForm answers a body that is no form at all.
func (h *handler) failForm(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, form.ErrNotAForm) {
		h.message(w, r, http.StatusUnsupportedMediaType, wording.NotAForm, wording.NothingWasWritten(err.Error()))
		return
	}
	h.fail(w, r, err)
}

// sent returns a form that was sent, and the day it is about. Where it cannot, it
// answers the request itself, and returns false.
func (h *handler) sent(w http.ResponseWriter, r *http.Request) (filled url.Values, opened *day.Day, ok bool) {
	filled, err := form.FilledIn(r)
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
func (h *handler) takeOnce(w http.ResponseWriter, r *http.Request, s *form.Form, sent url.Values, write func() (record int64, err error), to string, pairs ...string) (bool, error) {
	if len(s.Problems()) > 0 {
		return false, nil
	}
	written, err := h.tokens.Once(r, form.TokenOf(sent), write)
	switch {
	case err == nil:
		seeOther(w, r, to, written, pairs...)
		return true, nil
	case blamable(err):
		s.Blame(err)
		return false, nil
	}
	return false, err
}
