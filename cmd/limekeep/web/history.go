package web

import (
	"net/http"
	"slices"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// historyPage lists what was written down, the newest first.
type historyPage struct {
	Written *notice // what was just taken back; nil for nothing
	Lines   []schedule.HistoryLine
}

func (d *door) history(w http.ResponseWriter, r *http.Request) {
	info, moment, err := d.at(r.Context())
	if err != nil {
		d.fail(w, r, err)
		return
	}
	lines, err := d.Desk.History(r.Context(), moment)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	slices.Reverse(lines)
	written, err := d.written(r, moment, record.KindVoid)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	d.show(w, r, http.StatusOK, "history", page{Title: "History", Here: "/history", Place: info, Body: historyPage{Written: written, Lines: lines}})
}
