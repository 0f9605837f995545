package web

import (
	"encoding/json"
	"net/http"
)

// dueJSON answers with what is due as a JSON array, the soonest first; on an error, an
// object with the one member "error".
func (h nowPages) dueJSON(w http.ResponseWriter, r *http.Request) {
	answeringOf(r.Context()).patience = jsonPatience
	f, err := h.foresee(r.Context())
	if err != nil {
		h.failJSON(w, r, err)
		return
	}
	data, err := json.Marshal(f.Due())
	if err != nil {
		h.failJSON(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Write(append(data, '\n'))
}
