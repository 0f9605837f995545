package web

import (
	"net/http"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// duePages tell what is due.
type duePages struct{ *handler }

func (h duePages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /{$}", h.index)
	mux.HandleFunc("GET /api/due", h.dueJSON)
}

// indexPage is what is due at the place.
type indexPage struct {
	Notice  *notice   // what was just written down; nil for nothing
	Warn    []string  // what cannot wait for a date
	Due     []day.Due // the soonest first
	Routine []day.Due // daily work, without a sitting
	Beyond  []day.Due // further off than can be foreseen
}

func (h duePages) index(w http.ResponseWriter, r *http.Request) {
	ctx := r.Context()
	f, err := h.foresee(ctx)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := indexPage{Warn: f.Warnings()}
	for _, due := range f.Due() {
		switch {
		case due.Beyond:
			p.Beyond = append(p.Beyond, due)
		case due.Routine:
			p.Routine = append(p.Routine, due)
		default:
			p.Due = append(p.Due, due)
		}
	}
	if p.Notice, err = h.noticeOf(r, f.Day, record.KindService, record.KindWaterTest); err != nil {
		h.fail(w, r, err)
		return
	}
	h.show(w, r, http.StatusOK, "index", page{Title: "What is due", Here: "/", Place: f.Day.Info(), Body: p})
}
