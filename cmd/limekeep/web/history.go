package web

import (
	"net/http"
	"slices"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// historyPage lists what was written down, the newest first.
type historyPage struct {
	Written *notice // what was just taken back; nil for nothing
	Lines   []day.HistoryLine
}

func (d *door) history(w http.ResponseWriter, r *http.Request) {
	opened, err := d.open(r.Context())
	if err != nil {
		d.fail(w, r, err)
		return
	}
	lines, err := opened.History(r.Context())
	if err != nil {
		d.fail(w, r, err)
		return
	}
	slices.Reverse(lines)
	written, err := d.written(r, opened, record.KindVoid)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	d.show(w, r, http.StatusOK, "history", page{Title: "History", Here: "/history", Place: opened.Info(), Body: historyPage{Written: written, Lines: lines}})
}
