package dav

import (
	"net/http"
)

// challenge asks for a name and a password in UTF-8 (RFC 7617, 2 and 2.1).
const challenge = `Basic realm="limekeep to-dos", charset="UTF-8"`

// authenticate returns which app sends a request. Where that cannot be told, it
// has answered and returns false.
func (h *handler) authenticate(w http.ResponseWriter, r *http.Request) (app string, ok bool) {
	user, password, sent := r.BasicAuth()
	if sent {
		var err error
		app, ok, err = h.Authenticate(r.Context(), user, password)
		if err != nil {
			if r.Context().Err() != nil { // the app has left
				http.Error(w, "This was given up before it was answered. Ask again.", http.StatusServiceUnavailable)
				return "", false
			}
			h.log.Error("an app's password could not be looked up", "error", err)
			http.Error(w, "The password could not be looked up; the log says why. Try again later.", http.StatusInternalServerError)
			return "", false
		}
	}
	if !ok {
		w.Header().Set("WWW-Authenticate", challenge)
		http.Error(w, "This address is for task apps, with a password made for one app.", http.StatusUnauthorized)
	}
	return app, ok
}
