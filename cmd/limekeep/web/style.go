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
var styleSheet []byte

// style gives the style sheet. Browsers may keep it but ask each time, so that
// a newer program is never seen in an older dress.
func (d *door) style(w http.ResponseWriter, r *http.Request) {
	sum := sha256.Sum256(styleSheet)
	w.Header().Set("Content-Type", "text/css; charset=utf-8")
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Set("ETag", `"`+hex.EncodeToString(sum[:16])+`"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(styleSheet))
}
