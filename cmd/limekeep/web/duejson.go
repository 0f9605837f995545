package web

import (
	"encoding/json"
	"net/http"
)

// dueJSON gives what is due as a JSON array, the soonest first; on an error, an
// object with the one member "error".
func (d *door) dueJSON(w http.ResponseWriter, r *http.Request) {
	f, err := d.foresee(r.Context())
	if err != nil {
		d.failJSON(w, r, err)
		return
	}
	data, err := json.Marshal(f.Due())
	if err != nil {
		d.failJSON(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Write(append(data, '\n'))
}
