package web

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"strconv"
	"sync"
	"sync/atomic"
	"time"

	"limekeep/cmd/limekeep/web/dav"
	"limekeep/cmd/limekeep/web/packing"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/ical"
)

// edition is what a server gives out until the records say something else. But
// for the files it writes when they are first asked for, it does not change.
type edition struct {
	agenda  agenda.Agenda
	version int64 // of the records it was made from, its own publication among them

	// forecast is what the pages show: the one it was made from, or the same once the
	// publication is known to it.
	forecast atomic.Pointer[day.Forecast]

	todos  *dav.Snapshot        // nil where no task app is served
	byName map[string]todoEntry // what the to-dos stand for
	marks  map[string]schedule.Mark

	since func(key fileKey, tag string) time.Time // when a file of that tag was first given out

	mu    sync.Mutex
	files map[fileKey]*file
}

// fileKey tells the files of an edition apart.
type fileKey struct {
	base      string // address that its links start with
	equipment string // empty for the whole place
}

// file is a calendar as it is sent.
type file struct{ plain, packed fileForm }

// fileForm is one of the forms in which a file is sent.
type fileForm struct {
	data     []byte
	tag      string // entity tag, quoted
	modified time.Time
	header   http.Header // all that goes with it; shared, so never changed
}

// mostFiles bounds what an edition keeps; names to reach a server by are few.
const mostFiles = 64

// file returns a calendar; nil where there is no such equipment.
func (b *edition) file(key fileKey) (*file, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if f, ok := b.files[key]; ok {
		return f, nil
	}
	agenda := b.agenda
	if key.equipment != "" {
		part, ok := agenda.Of(key.equipment)
		if !ok {
			return nil, nil
		}
		agenda = part
	}
	agenda.Base = key.base
	var plain bytes.Buffer
	if err := ical.Encode(&plain, agenda); err != nil {
		return nil, err
	}
	f, err := fileOf(cmp.Or(key.equipment, "limekeep"), plain.Bytes(), func(tag string) time.Time { return b.since(key, tag) })
	if err != nil {
		return nil, err
	}
	if len(b.files) >= mostFiles {
		clear(b.files)
	}
	b.files[key] = f
	return f, nil
}

// fileOf returns a calendar of some bytes; since tells when one of a tag was first given
// out.
func fileOf(name string, plain []byte, since func(tag string) time.Time) (*file, error) {
	packed, err := packing.Bytes(plain)
	if err != nil {
		return nil, err
	}
	// A strong tag is one of the very bytes sent, so the two forms differ in it
	// (RFC 9110, 8.8.3.3).
	tag := tagOf(plain)
	modified := since(tag)
	f := &file{plain: formOf(name, `"`+tag+`"`, modified, plain), packed: formOf(name, `"`+tag+`-gzip"`, modified, packed)}
	f.packed.header.Set("Content-Encoding", "gzip")
	return f, nil
}

func formOf(name, tag string, modified time.Time, data []byte) fileForm {
	h := http.Header{}
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Content-Disposition", `inline; filename="`+name+`.ics"`)
	h.Set("Content-Length", strconv.Itoa(len(data)))
	h.Set("Cache-Control", cacheControl)
	h.Set("ETag", tag)
	h.Set("Last-Modified", modified.Format(http.TimeFormat))
	h.Set("Vary", "Accept-Encoding")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	return fileForm{data: data, tag: tag, modified: modified, header: h}
}

// tagOf is a fingerprint of bytes that are sent.
func tagOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:16])
}
