package web

import (
	"bytes"
	"crypto/sha256"
	"crypto/subtle"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// calendarAge is how long a calendar program may keep what it fetched without
// asking: short, since to ask costs it an empty answer.
const calendarAge = 5 * time.Minute

var cacheControl = "private, max-age=" + strconv.Itoa(int(calendarAge.Seconds()))

// calendar answers a subscription, of the place or of one piece of equipment. It
// answers from memory: the plan is made by the press.
func (d *door) calendar(w http.ResponseWriter, r *http.Request) {
	secret, err := d.press.secret(r.Context())
	if err != nil {
		d.fail(w, r, err)
		return
	}
	if secret == "" || !sameSecret(secret, r.PathValue("secret")) {
		d.nothingHere(w, r)
		return
	}
	key := fileKey{base: d.base(r)}
	name := "limekeep"
	if part := r.PathValue("file"); part != "" {
		id, ok := strings.CutSuffix(part, ".ics")
		if !ok {
			d.nothingHere(w, r)
			return
		}
		key.equipment, name = id, id
	}
	b, err := d.press.current(r.Context())
	if err != nil {
		d.fail(w, r, err)
		return
	}
	f, err := b.file(key)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	if f == nil {
		d.nothingHere(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Content-Disposition", `inline; filename="`+name+`.ics"`)
	h.Set("Cache-Control", cacheControl)
	h.Set("Vary", "Accept-Encoding")
	data, tag := f.plain, f.plainTag
	if takesGzip(r.Header.Get("Accept-Encoding")) {
		data, tag = f.packed, f.packedTag
		h.Set("Content-Encoding", "gzip")
	}
	h.Set("ETag", tag)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
}

// sameSecret compares in a time that tells nothing of either, not even how long
// they are.
func sameSecret(a, b string) bool {
	x, y := sha256.Sum256([]byte(a)), sha256.Sum256([]byte(b))
	return subtle.ConstantTimeCompare(x[:], y[:]) == 1
}

// takesGzip reads an Accept-Encoding header (RFC 9110, 12.5.3). A coding named
// by itself goes before the star.
func takesGzip(accept string) bool {
	star := false
	for item := range strings.SplitSeq(accept, ",") {
		coding, parameter, _ := strings.Cut(item, ";")
		takes := true
		if weight, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(parameter)), "q="); ok {
			q, err := strconv.ParseFloat(weight, 64)
			takes = err == nil && q > 0
		}
		switch strings.ToLower(strings.TrimSpace(coding)) {
		case "gzip", "x-gzip":
			return takes
		case "*":
			star = takes
		}
	}
	return star
}
