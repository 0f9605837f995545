package web

import (
	"net/http"
	"slices"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// historyPages show what was written down, and take it back.
type historyPages struct{ *handler }

func (h historyPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /history", h.history)
	mux.HandleFunc("GET /history.csv", h.export)
	mux.HandleFunc("GET /history.json", h.export)
	mux.HandleFunc("GET /history/{record}/take-back", h.askTakeBack)
	mux.HandleFunc("POST /history/{record}/take-back", h.takeBack)
}

// historyPage lists what was written down, the newest first.
type historyPage struct {
	Notice *notice // what was just taken back; nil for nothing
	Lines  []day.HistoryLine
	Filter historyFilter
	Form   form
	All    int // records that there are
}

func (h historyPages) history(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	lines, err := opened.History(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	slices.Reverse(lines)
	filter := historyFilterOf(r.URL.Query())
	written, err := h.noticeOf(r, opened, record.KindVoid)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.show(w, r, http.StatusOK, "history", page{Title: "History", Here: "/history", Place: opened.Info(), Body: historyPage{Notice: written, Lines: filter.of(lines), Filter: filter, Form: filter.form(lines), All: len(lines)}})
}
