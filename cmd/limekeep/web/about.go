package web

import (
	"net/http"

	"limekeep/cmd/limekeep/web/wording"
)

// aboutPages say what the program is and how to stay safe with it.
type aboutPages struct{ *handler }

const aboutPath = "/about"

func (h aboutPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+aboutPath, func(w http.ResponseWriter, r *http.Request) {
		opened, err := h.open(r.Context())
		if err != nil {
			h.fail(w, r, err)
			return
		}
		h.show(w, r, http.StatusOK, "about", page{Title: wording.AboutAndSafety, Here: aboutPath, Place: opened.Info()})
	})
}
