package web

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"net/http"
	"strconv"
	"strings"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/ical"
)

// calendarAge is how long a calendar program may keep what it fetched without
// asking: short, since to ask costs it an empty answer.
const calendarAge = 5 * time.Minute

// calendar answers a subscription. What goes out is published first, so that
// sequence numbers and stamps say what subscribers have really seen; on a day
// chosen by hand nothing is.
func (d *door) calendar(w http.ResponseWriter, r *http.Request) {
	ctx := r.Context()
	secret, err := d.secret(ctx)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	if secret == "" || !sameSecret(secret, r.PathValue("secret")) {
		d.nothingHere(w, r)
		return
	}
	data, err := d.published(ctx, d.base(r))
	if err != nil {
		d.fail(w, r, err)
		return
	}
	h := w.Header()
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Content-Disposition", `inline; filename="limekeep.ics"`)
	h.Set("Cache-Control", "private, max-age="+strconv.Itoa(int(calendarAge.Seconds())))
	h.Set("Vary", "Accept-Encoding")
	// A strong tag is one of the very bytes sent, so the two forms differ in it
	// (RFC 9110, 8.8.3.3).
	sum := sha256.Sum256(data)
	tag := hex.EncodeToString(sum[:16])
	if takesGzip(r.Header.Get("Accept-Encoding")) {
		if data, err = packed(data); err != nil {
			d.fail(w, r, err)
			return
		}
		tag += "-gzip"
		h.Set("Content-Encoding", "gzip")
	}
	h.Set("ETag", `"`+tag+`"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
}

// published gives the bytes of the calendar, its plan written down.
func (d *door) published(ctx context.Context, base string) ([]byte, error) {
	ask := d.Desk.Agenda
	if d.Today.IsZero() {
		ask = func(ctx context.Context, m schedule.Moment) (schedule.Agenda, error) {
			agenda, _, err := d.Desk.Publish(ctx, m)
			return agenda, err
		}
	}
	agenda, err := ask(ctx, d.moment())
	if err != nil {
		return nil, err
	}
	agenda.Base = base
	var b bytes.Buffer
	err = ical.Encode(&b, agenda)
	return b.Bytes(), err
}

// secret gives the secret of the calendar's address, empty where there is none.
func (d *door) secret(ctx context.Context) (string, error) {
	if d.Secret == nil {
		return "", nil
	}
	return d.Secret(ctx)
}

// sameSecret compares in a time that tells nothing of either, not even how long
// they are.
func sameSecret(a, b string) bool {
	x, y := sha256.Sum256([]byte(a)), sha256.Sum256([]byte(b))
	return subtle.ConstantTimeCompare(x[:], y[:]) == 1
}

func packed(data []byte) ([]byte, error) {
	var b bytes.Buffer
	z := gzip.NewWriter(&b) // writes no time, so the same calendar gives the same bytes
	if _, err := z.Write(data); err != nil {
		return nil, err
	}
	err := z.Close()
	return b.Bytes(), err
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
