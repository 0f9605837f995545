package web

import (
	"errors"
	"html/template"
	"net"
	"net/http"
	"net/url"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/gate"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// calendarPage tells how to get at the calendar, and lets in task apps.
type calendarPage struct {
	Done      string             // what a form has just done
	Whole     *shownSubscription // nil where there is no subscription address
	Equipment []shownSubscription
	Loopback  bool         // only programs on this computer reach it
	Encrypted bool         // the address is one of https
	Replaces  bool         // whether the secret can be replaced
	Another   form.Form    // that gives the calendar another address
	Apps      *appsSection // nil where there are none
}

// shownSubscription is a subscription with what a page makes of it.
type shownSubscription struct {
	Subscription
	Link template.URL // its webcal address, to be clicked
	Code QRCode       // of the same
}

// Of says what the code holds, for those who cannot see it.
func (s shownSubscription) Of() string { return wording.AddressOfCalendar(s.Name) }

// calendarPath is the page's. What forms send to lies elsewhere: a server in
// front may let all below /calendar/ through without a password, for calendar
// programs.
const calendarPath = "/calendar"

// What a form has done, by the word that the address it leads to has for it: a
// link can put none of its own on the page.
const (
	doneReplaced = "replaced"
	doneRevoked  = "revoked"
)

var doneWords = map[string]string{
	doneReplaced: wording.CalendarHasANewAddress,
	doneRevoked:  wording.PasswordIsRevoked,
}

// calendarPages show how to get at the calendar and the to-dos, and take what their
// forms send.
type calendarPages struct{ *handler }

func (h calendarPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+calendarPath, h.showCalendarPage)
	mux.HandleFunc("GET /calendar.ics", h.download)
	if h.NewSecret != nil {
		mux.HandleFunc("POST /address/new", h.replaceSecret)
	}
	if h.Apps != nil {
		mux.HandleFunc("POST /apps", h.addApp)
		mux.HandleFunc("POST /apps/revoke", h.revokeApp)
	}
}

// download answers with the calendar as it is now, for whoever may see the pages.
func (h calendarPages) download(w http.ResponseWriter, r *http.Request) {
	b, err := h.publisher.current(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	f, err := b.file(fileKey{base: h.pagesBase(r)})
	if err != nil {
		h.fail(w, r, err)
		return
	}
	f.serve(w, r)
}

func (h calendarPages) showCalendarPage(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, err := h.calendarPage(r, opened.Info())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p.Done = doneWords[r.URL.Query().Get("done")]
	h.show(w, r, http.StatusOK, "calendar", page{Title: wording.Calendar, Here: calendarPath, Place: opened.Info(), Body: p})
}

// replaceSecret takes the form that gives the calendar another address.
func (h calendarPages) replaceSecret(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	p, err := h.calendarPage(r, opened.Info())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p.Another.Fill(filled)
	if !p.Another.Ticked("confirm") {
		p.Another.Wrong("confirm", errors.New(wording.TickTheBoxForANewAddress)) //nolint:staticcheck // a sentence that stands on the page
		h.show(w, r, http.StatusUnprocessableEntity, "calendar", page{Title: wording.PleaseCorrectCalendar, Here: calendarPath, Place: opened.Info(), Body: p})
		return
	}
	if _, err := h.NewSecret(r.Context()); err != nil {
		h.fail(w, r, err)
		return
	}
	h.publisher.forgetSecret()
	http.Redirect(w, r, calendarPath+"?done="+doneReplaced, http.StatusSeeOther)
}

func newAddressForm() form.Form {
	return form.Form{Action: "/address/new", Button: wording.MakeANewAddress, Fields: []form.Field{
		{Name: "confirm", Label: wording.TheOldAddressesMayGoDead, Kind: form.BoxInput, Required: true},
	}}
}

// calendarPage returns the page of a place as a request sees it.
func (h calendarPages) calendarPage(r *http.Request, place day.PlaceInfo) (calendarPage, error) {
	base, err := url.Parse(h.base(r))
	if err != nil || base.Host == "" {
		return calendarPage{}, &record.FieldError{Field: "Host", Value: r.Host, Want: wording.NameOfThisServer}
	}
	p := calendarPage{Loopback: loopback(base.Hostname()), Encrypted: base.Scheme == "https", Replaces: h.NewSecret != nil, Another: newAddressForm()}
	if p.Apps, err = h.apps(r.Context(), base, place); err != nil {
		return p, err
	}
	secret, err := h.publisher.secret(r.Context())
	if err != nil || secret == "" {
		return p, err
	}
	for _, s := range Subscriptions(base, secret, place) {
		code, err := NewQRCode(s.Webcal)
		if err != nil {
			return p, err
		}
		p.Equipment = append(p.Equipment, shownSubscription{s, template.URL(s.Webcal), code})
	}
	p.Whole = &p.Equipment[0]
	p.Equipment = p.Equipment[1:]
	return p, nil
}

// loopback reports whether a host is this computer alone (RFC 6761, 6.3, for the
// name).
func loopback(host string) bool {
	ip := net.ParseIP(host)
	return gate.PlainHost(host) == "localhost" || ip != nil && ip.IsLoopback()
}
