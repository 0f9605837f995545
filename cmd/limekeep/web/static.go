package web

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"net/http"
	"time"
)

//go:embed static/style.css
var frameStyle []byte

//go:embed static/picture.css
var pictureStyle []byte

//go:embed static/paper.css
var paperStyle []byte

// styleSheet is one file, so that a page asks once.
var styleSheet = bytes.Join([][]byte{frameStyle, pictureStyle, paperStyle}, []byte("\n"))

// script makes some pages better; they do without it.
//
//go:embed static/page.js
var script []byte

// icon stands on the browser's tab. Without one named in the page, a browser looks
// for it at an address of its own, and complains that nothing is there.
//
//go:embed static/icon.svg
var icon []byte

// waterScript checks the values of a water test while they are typed.
//
//go:embed static/water.js
var waterScript []byte

// static serves a file that comes with the program. Browsers may keep it but ask
// each time, so that a newer program is never seen in an older dress.
func static(contentType string, content []byte) http.HandlerFunc {
	sum := sha256.Sum256(content)
	tag := `"` + hex.EncodeToString(sum[:16]) + `"`
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", contentType)
		w.Header().Set("Cache-Control", "no-cache")
		w.Header().Set("ETag", tag)
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(content))
	}
}
