package web

import (
	"net/http"
	"strconv"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// indexPage is what is due at the place.
type indexPage struct {
	Written *schedule.HistoryLine // what was just written down
	Warn    []string              // what cannot wait for a date
	Due     []schedule.Due        // the soonest first
	Routine []schedule.Due        // daily work, without a sitting
	Beyond  []schedule.Due        // further off than can be foreseen
}

func (d *door) index(w http.ResponseWriter, r *http.Request) {
	ctx := r.Context()
	info, moment, err := d.at(ctx)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	dues, err := d.Desk.Due(ctx, moment)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	var p indexPage
	if p.Warn, err = d.Desk.Warnings(ctx, moment); err != nil {
		d.fail(w, r, err)
		return
	}
	for _, due := range dues {
		switch {
		case due.Beyond:
			p.Beyond = append(p.Beyond, due)
		case due.Routine:
			p.Routine = append(p.Routine, due)
		default:
			p.Due = append(p.Due, due)
		}
	}
	if p.Written, err = d.written(r, moment); err != nil {
		d.fail(w, r, err)
		return
	}
	d.show(w, r, http.StatusOK, "index", page{Title: "What is due", Here: "/", Place: info, Body: p})
}

// written finds the record that a form has just led to. The address names only
// its number, so that a link cannot put words on the page.
func (d *door) written(r *http.Request, m schedule.Moment) (*schedule.HistoryLine, error) {
	id, err := strconv.ParseInt(r.URL.Query().Get("written"), 10, 64)
	if err != nil {
		return nil, nil
	}
	lines, err := d.Desk.History(r.Context(), m)
	if err != nil {
		return nil, err
	}
	for i, line := range lines {
		if line.Record == id && line.Voided == 0 && (line.Kind == record.KindService || line.Kind == record.KindWaterTest) {
			return &lines[i], nil
		}
	}
	return nil, nil
}
