package web

import (
	"net/http"
	"slices"
	"strconv"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// historyPages show what was written down, and take it back.
type historyPages struct{ *handler }

func (h historyPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /history", h.kept(h.history, nil))
	mux.HandleFunc("GET /history.csv", h.export)
	mux.HandleFunc("GET /history.json", h.export)
	mux.HandleFunc("GET /history/{record}/take-back", h.askTakeBack)
	mux.HandleFunc("POST /history/{record}/take-back", h.takeBack)
}

// historyPage lists what was written down, the newest first.
type historyPage struct {
	Notice  *notice // what was just taken back; nil for nothing
	Lines   []day.HistoryLine
	Filter  historyFilter
	Form    form.Form
	All     int    // records that there are
	Earlier string // address of the page before it in time; empty where this is the last
}

// mostHistoryLines is how many records a page of history shows.
const mostHistoryLines = 200

// pageOf returns the lines before one of a number, the newest first, and where the next
// page begins; 0 for nowhere.
func pageOf(lines []day.HistoryLine, before int64) ([]day.HistoryLine, int64) {
	if before > 0 {
		i := slices.IndexFunc(lines, func(l day.HistoryLine) bool { return l.Record == before })
		lines = lines[i+1:]
	}
	if len(lines) <= mostHistoryLines {
		return lines, 0
	}
	lines = lines[:mostHistoryLines]
	return lines, lines[len(lines)-1].Record
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
	before, _ := strconv.ParseInt(r.URL.Query().Get("before"), 10, 64) // nonsense is the first page
	shown, next := pageOf(filter.of(lines), before)
	earlier := ""
	if next > 0 {
		query := r.URL.Query()
		query.Del("written")
		query.Set("before", strconv.FormatInt(next, 10))
		earlier = "/history?" + query.Encode()
	}
	written, err := h.noticeOf(r, opened, record.KindVoid)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.show(w, r, http.StatusOK, "history", page{Title: wording.History, Here: "/history", Place: opened.Info(), Body: historyPage{Notice: written, Lines: shown, Earlier: earlier, Filter: filter, Form: filter.form(lines), All: len(lines)}})
}
