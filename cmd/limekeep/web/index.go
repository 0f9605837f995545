package web

import (
	"net/http"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// indexPage is what is due at the place.
type indexPage struct {
	Written *notice        // what was just written down; nil for nothing
	Warn    []string       // what cannot wait for a date
	Due     []schedule.Due // the soonest first
	Routine []schedule.Due // daily work, without a sitting
	Beyond  []schedule.Due // further off than can be foreseen
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
	if p.Written, err = d.written(r, moment, record.KindService, record.KindWaterTest); err != nil {
		d.fail(w, r, err)
		return
	}
	d.show(w, r, http.StatusOK, "index", page{Title: "What is due", Here: "/", Place: info, Body: p})
}
