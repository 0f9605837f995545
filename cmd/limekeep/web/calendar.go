package web

import (
	"bytes"
	"crypto/sha256"
	"crypto/subtle"
	"net/http"
	"strconv"
	"strings"
	"time"

	"limekeep/cmd/limekeep/web/packing"
)

// calendarAge is how long a calendar program may keep what it fetched without
// asking: short, since to ask costs it an empty answer.
const calendarAge = 5 * time.Minute

var cacheControl = "private, max-age=" + strconv.Itoa(int(calendarAge.Seconds()))

// feeds are what subscriptions of the calendar fetch.
type feeds struct{ *handler }

// feedsFirst answers subscriptions, of the place or of one piece of equipment,
// from memory: the plan is made by the publisher. Calendar programs come often and
// all at the same minute, so that this runs before all that pages need. Addresses
// that lead nowhere are for the pages to answer.
func (h feeds) feedsFirst(pages http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		secret, equipment, ok := feedPath(r.URL.Path)
		if !ok || r.Method != http.MethodGet && r.Method != http.MethodHead || !h.allowed(r.Host) {
			pages.ServeHTTP(w, r)
			return
		}
		r.Pattern = feedPattern // for the log, which must not hold the secret
		f, err := h.feedFile(r, secret, equipment)
		switch {
		case err != nil:
			h.fail(w, r, err)
		case f == nil:
			pages.ServeHTTP(w, r)
		default:
			f.serve(w, r)
		}
	})
}

const feedPattern = "/calendar/{secret}/limekeep.ics"

// feedPath reads the address of a calendar: /calendar/SECRET/limekeep.ics, or
// /calendar/SECRET/equipment/ID.ics.
func feedPath(path string) (secret, equipment string, ok bool) {
	rest, ok := strings.CutPrefix(path, "/calendar/")
	if !ok {
		return "", "", false
	}
	secret, file, ok := strings.Cut(rest, "/")
	if !ok || file == "limekeep.ics" {
		return secret, "", ok
	}
	file, inner := strings.CutPrefix(file, "equipment/")
	equipment, ics := strings.CutSuffix(file, ".ics")
	return secret, equipment, inner && ics && equipment != ""
}

// feedFile returns the file of an address; nil where it leads nowhere.
func (h feeds) feedFile(r *http.Request, given, equipment string) (*file, error) {
	secret, err := h.publisher.secret(r.Context())
	if err != nil {
		return nil, err
	}
	if secret == "" || !sameSecret(secret, given) {
		if ok, err := h.feedToken(r, given); err != nil || !ok {
			return nil, err
		}
	}
	b, err := h.publisher.current(r.Context())
	if err != nil {
		return nil, err
	}
	return b.file(fileKey{base: h.pagesBase(r), equipment: equipment})
}

// serve answers with a file, packed where the client takes that. What most
// clients ask for, all of it unless it is the same, needs no more than this; the
// rest of RFC 9110 is the library's.
func (f *file) serve(w http.ResponseWriter, r *http.Request) {
	form := &f.plain
	if packing.TakesGzip(r.Header.Get("Accept-Encoding")) {
		form = &f.packed
	}
	h := w.Header()
	for name, values := range form.header {
		h[name] = values
	}
	if r.Header.Get("Range") != "" || r.Header.Get("If-Match") != "" || r.Header.Get("If-Unmodified-Since") != "" {
		delete(h, "Content-Length")
		http.ServeContent(w, r, "", form.modified, bytes.NewReader(form.data))
		return
	}
	if form.known(r.Header) {
		delete(h, "Content-Type") // of what is not sent
		delete(h, "Content-Length")
		delete(h, "Content-Encoding")
		w.WriteHeader(http.StatusNotModified)
		return
	}
	if r.Method == http.MethodHead {
		w.WriteHeader(http.StatusOK)
		return
	}
	_, _ = w.Write(form.data) // a client that has gone misses nothing
}

// known reports whether a client has the file already. Where it names tags, the
// date does not count (RFC 9110, 13.1.3).
func (f *fileForm) known(h http.Header) bool {
	if tags := h.Values("If-None-Match"); len(tags) > 0 {
		return anyTag(tags, f.tag)
	}
	since, err := http.ParseTime(h.Get("If-Modified-Since"))
	return err == nil && !f.modified.After(since)
}

// anyTag reports whether an If-None-Match header names a tag, weak or strong, or is
// a star (RFC 9110, 13.1.2). Our tags hold no comma.
func anyTag(headers []string, tag string) bool {
	for _, header := range headers {
		for given := range strings.SplitSeq(header, ",") {
			given = strings.TrimSpace(given)
			if given == "*" || strings.TrimPrefix(given, "W/") == tag {
				return true
			}
		}
	}
	return false
}

// sameSecret compares in a time that tells nothing of either, not even how long
// they are.
func sameSecret(a, b string) bool {
	x, y := sha256.Sum256([]byte(a)), sha256.Sum256([]byte(b))
	return subtle.ConstantTimeCompare(x[:], y[:]) == 1
}

// leastTokenLength is shorter than any token of ours, and longer than names of folders.
const leastTokenLength = 20

// feedToken reports whether a calendar's address holds a token that opens it.
func (h feeds) feedToken(r *http.Request, given string) (bool, error) {
	if h.CheckToken == nil || len(given) < leastTokenLength {
		return false, nil
	}
	_, ok, err := h.CheckToken(r.Context(), given, scopeFeed)
	return ok, err
}
