package web

import (
	"errors"
	"net/http"
	"net/url"
	"strings"
	"sync"

	"limekeep/cmd/limekeep/intake/busycal"
	"limekeep/cmd/limekeep/web/api"
	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
)

// uploading is held while a file is taken in, so that there is never more than one in
// the memory.
type uploading struct{ sync.Mutex }

// uploadPaths are the ends of the addresses that take a file, with what it may weigh.
var uploadPaths = map[string]int64{
	ownCalendarPath + "/file": busycal.MostBytes,
	importPath:                mostLogBytes,
	tablePath:                 mostTableBytes,
}

// mostUploadBytes is what a form that brings a file to an address may weigh; 0 for an
// address that takes none.
func mostUploadBytes(r *http.Request) int64 {
	if r.Method != http.MethodPost {
		return 0
	}
	if most := api.MostBodyBytes(r); most > 0 {
		return most
	}
	for path, most := range uploadPaths {
		if strings.HasSuffix(r.URL.Path, path) {
			return most + mostBodyBytes
		}
	}
	return 0
}

// brought reads a form that brings a file. Where it cannot, it answers the request itself,
// and returns false; a form without a file is left to the caller, with a file without a name.
func (h *handler) brought(w http.ResponseWriter, r *http.Request, most int64) (filled url.Values, file form.Upload, ok bool) {
	if !h.uploading.TryLock() {
		w.Header().Set("Retry-After", "5")
		h.message(w, r, http.StatusServiceUnavailable, wording.OneFileAfterAnother, wording.AnotherFileIsBeingRead)
		return nil, file, false
	}
	defer h.uploading.Unlock()
	filled, file, err := form.Uploaded(r, most)
	var tooLarge *form.TooLargeError
	switch {
	case errors.Is(err, form.ErrNoFile):
	case errors.As(err, &tooLarge):
		h.message(w, r, http.StatusRequestEntityTooLarge, wording.TooLarge, wording.FileTooLarge)
		return nil, file, false
	case err != nil:
		h.failForm(w, r, err)
		return nil, file, false
	}
	return filled, file, true
}

// broughtFile is brought, and opens the day.
func (h *handler) broughtFile(w http.ResponseWriter, r *http.Request, most int64) (filled url.Values, file form.Upload, opened *day.Day, ok bool) {
	if filled, file, ok = h.brought(w, r, most); !ok {
		return nil, file, nil, false
	}
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return nil, file, nil, false
	}
	return filled, file, opened, true
}
