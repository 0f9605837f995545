package web

import (
	"encoding/json"
	"net/http"

	"limekeep/schedule"
)

// dueJSON gives what is due as a JSON array, the soonest first; on an error, an
// object with the one member "error".
func (d *door) dueJSON(w http.ResponseWriter, r *http.Request) {
	dues, err := d.Desk.Due(r.Context(), d.moment())
	if err != nil {
		d.failJSON(w, r, err)
		return
	}
	if dues == nil {
		dues = []schedule.Due{}
	}
	data, err := json.Marshal(dues)
	if err != nil {
		d.failJSON(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Write(append(data, '\n'))
}
