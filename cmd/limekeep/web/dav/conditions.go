package dav

import (
	"net/http"
	"strings"
	"time"
)

// conditions are what a request that changes something expects to find
// (RFC 9110, 13.1).
type conditions struct {
	match, noneMatch string // as sent; empty where not
	unchangedSince   time.Time
}

// conditionsOf reads the conditions of a request, those of an If header among them.
func (h *handler) conditionsOf(r *request) (func(*Object) error, error) {
	header, err := ifHeaderOf(r.Header)
	if err != nil {
		return nil, err
	}
	plain := conditionsOf(r.Header)
	if header == nil {
		return plain.check, nil
	}
	s, err := h.rendered(r.Context())
	if err != nil {
		return nil, err
	}
	return func(o *Object) error {
		if !header.holds(h.paths, s, r.to, o) {
			return errPrecondition
		}
		return plain.check(o)
	}, nil
}

func conditionsOf(h http.Header) conditions {
	c := conditions{
		match:     strings.Join(h.Values("If-Match"), ","),
		noneMatch: strings.Join(h.Values("If-None-Match"), ","),
	}
	// A date that cannot be read is no condition (RFC 9110, 13.1.4).
	c.unchangedSince, _ = http.ParseTime(h.Get("If-Unmodified-Since"))
	return c
}

// check compares the conditions with an object, nil where there is none, and
// returns errPrecondition where one is false (RFC 9110, 13.2.2).
func (c conditions) check(o *Object) error {
	switch {
	case c.match != "":
		// Strong comparison (13.1.1): a weak tag is equal to none.
		if !namesTag(c.match, o, false) {
			return errPrecondition
		}
	case !c.unchangedSince.IsZero() && o != nil:
		if o.Modified.Truncate(time.Second).After(c.unchangedSince) {
			return errPrecondition
		}
	}
	// Weak comparison (13.1.2).
	if c.noneMatch != "" && namesTag(c.noneMatch, o, true) {
		return errPrecondition
	}
	return nil
}

// namesTag reports whether a list of entity tags, or the star, names an object
// that exists.
func namesTag(list string, o *Object, weak bool) bool {
	if o == nil {
		return false
	}
	if strings.TrimSpace(list) == "*" {
		return true
	}
	for {
		list = strings.TrimLeft(list, " \t,")
		if list == "" {
			return false
		}
		rest, isWeak := strings.CutPrefix(list, "W/")
		tag, after, quoted := cutTag(rest)
		list = after
		if tag == o.ETag && (weak || !isWeak) && (quoted || !isWeak) {
			return true
		}
	}
}

// cutTag takes the first tag off a list. Some apps leave out the quotes; what
// they mean is clear.
func cutTag(list string) (tag, after string, quoted bool) {
	if body, ok := strings.CutPrefix(list, `"`); ok {
		tag, after, _ = strings.Cut(body, `"`)
		return tag, after, true
	}
	tag, after, _ = strings.Cut(list, ",")
	return strings.TrimSpace(tag), after, false
}
