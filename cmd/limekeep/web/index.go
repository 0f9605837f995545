package web

import (
	"html/template"
	"net"
	"net/http"
	"net/url"
	"strconv"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// indexPage is what is due at the place, and where its calendar is.
type indexPage struct {
	Written *schedule.HistoryLine // what was just written down
	Due     []schedule.Due        // the soonest first
	Routine []schedule.Due        // daily work, without a sitting
	Beyond  []schedule.Due        // further off than can be foreseen
	Feed    *feed                 // nil where there is no subscription address
}

// feed is the calendar's subscription address in its two forms.
type feed struct {
	Address  string       // http or https
	Webcal   template.URL // for programs that subscribe on a click
	Loopback bool         // only programs on this computer reach it
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
	if p.Feed, err = d.feed(r); err != nil {
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

// feed gives the subscription address.
func (d *door) feed(r *http.Request) (*feed, error) {
	secret, err := d.press.secret(r.Context())
	if err != nil || secret == "" {
		return nil, err
	}
	base, err := url.Parse(d.base(r))
	if err != nil || base.Host == "" {
		return nil, nil // a request without a usable host has no address to show
	}
	address := base.JoinPath("calendar", secret, "limekeep.ics")
	f := &feed{Address: address.String(), Loopback: loopback(base.Hostname())}
	address.Scheme = "webcal"
	f.Webcal = template.URL(address.String())
	return f, nil
}

// loopback tells whether a host is this computer alone (RFC 6761, 6.3, for the
// name).
func loopback(host string) bool {
	ip := net.ParseIP(host)
	return plainHost(host) == "localhost" || ip != nil && ip.IsLoopback()
}
