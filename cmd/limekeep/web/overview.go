package web

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Addresses that no place has: they are about all of them.
const (
	placesPath  = "/places"
	roundPath   = "/round"
	peoplePath  = "/people"
	invitedPath = "/invited"
)

// overviewPages tell of all places at once, from outlooks that are at hand.
type overviewPages struct {
	*handler
	places *places
}

func (h overviewPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /{$}", h.overview)
	mux.HandleFunc("GET "+placesPath, h.overview)
	mux.HandleFunc("GET "+placesPath+".json", h.overviewJSON)
	mux.HandleFunc("GET "+placesPath+"/calendar", h.calendar)
	mux.HandleFunc("POST "+placesPath+"/calendar/new", h.newAddress)
	mux.HandleFunc("POST "+placesPath+"/calendar/apps", h.addApp)
	mux.HandleFunc("POST "+placesPath+"/calendar/revoke", h.revokeApp)
}

// overviewPage is what there is to know of all places.
type overviewPage struct {
	Lines   []overviewLine
	All     int // places
	Waiting int // that were not worked out yet
	Alarms  int // places with something dangerous or wrong
	Past    int // tasks past their likely date, at all of them
	Form    form.Form
	Asked   bool // not all places are shown
	Table   bool // who looks may set places up from a table
}

// overviewLine is a place.
type overviewLine struct {
	ID      string
	Page    string
	Outlook *day.Outlook // nil until it was worked out
	Failing string       // why it cannot be; empty where it can
	Older   bool         // something was written down that the outlook does not know of
}

// Name returns what the place is called.
func (l overviewLine) Name() string {
	if l.Outlook != nil {
		return l.Outlook.Name
	}
	return l.ID
}

// Away says how far off a day is from the place's today.
func (l overviewLine) Away(on record.Date) string {
	return wording.DaysAway(int(on - l.Outlook.Today))
}

// overviewOrders are the orders in which places can be listed.
var overviewOrders = []form.Choice{
	{Value: "need", Label: wording.ByNeed},
	{Value: "date", Label: wording.ByDate},
	{Value: "name", Label: wording.ByName},
}

// overviewAsked is which places an overview is asked for, and in which order.
type overviewAsked struct {
	Order string // one of overviewOrders
	Words string // that all stand in what is said of a place
	Group string // that it belongs to; empty for all places
}

// askedFor reads it from an address.
func askedFor(q url.Values) overviewAsked {
	return overviewAsked{Order: q.Get("by"), Words: strings.TrimSpace(q.Get("words")), Group: q.Get("group")}
}

// takes reports whether a place is asked for.
func (a overviewAsked) takes(l overviewLine) bool {
	return holds(l, a.Words) && (a.Group == "" || l.Outlook != nil && strings.EqualFold(l.Outlook.Group, a.Group))
}

// lines returns the places as they are at hand that are asked for, in their order.
func (h overviewPages) lines(ctx context.Context, asked overviewAsked) []overviewLine {
	var lines []overviewLine
	for _, at := range h.places.seenBy(ctx) {
		l := overviewLine{ID: at.id, Page: Under(at.id) + "/", Outlook: at.outlook.Load()}
		if why := at.failing.Load(); why != nil {
			l.Failing = *why
		}
		if asked.takes(l) {
			lines = append(lines, l)
		}
	}
	slices.SortStableFunc(lines, func(a, b overviewLine) int {
		switch asked.Order {
		case "name":
			return cmp.Compare(strings.ToLower(a.Name()), strings.ToLower(b.Name()))
		case "date":
			return cmp.Compare(a.soonest(), b.soonest())
		}
		return cmp.Or(cmp.Compare(b.wrong(), a.wrong()), cmp.Compare(b.harm(), a.harm()), cmp.Compare(a.soonest(), b.soonest()))
	})
	return lines
}

// groups lists the chains and customers that places belong to, as far as they are known.
func (h overviewPages) groups(ctx context.Context) []form.Choice {
	var all []form.Choice
	for _, at := range h.places.seenBy(ctx) {
		o := at.outlook.Load()
		if o == nil || o.Group == "" || slices.ContainsFunc(all, func(c form.Choice) bool { return strings.EqualFold(c.Value, o.Group) }) {
			continue
		}
		all = append(all, form.Choice{Value: o.Group, Label: o.Group})
	}
	slices.SortFunc(all, func(a, b form.Choice) int { return cmp.Compare(strings.ToLower(a.Label), strings.ToLower(b.Label)) })
	return all
}

func (l overviewLine) soonest() record.Date {
	if l.Outlook == nil || l.Outlook.First == nil {
		return 1 << 30
	}
	return l.Outlook.First.Likely
}

func (l overviewLine) wrong() int {
	if l.Outlook == nil {
		return 0
	}
	return len(l.Outlook.Alarms)
}

func (l overviewLine) harm() float64 {
	if l.Outlook == nil {
		return 0
	}
	return l.Outlook.Harm
}

// holds reports whether all words stand in what an overview says of a place.
func holds(l overviewLine, words string) bool {
	text := l.ID
	if o := l.Outlook; o != nil {
		text += " " + o.Name + " " + o.Group + " " + o.Address
		for _, a := range o.Alarms {
			text += " " + a.Title + " " + a.Name + " " + a.Says
		}
		if o.First != nil {
			text += " " + o.First.Title + " " + o.First.Name
		}
		for _, w := range []*day.OutlookWork{o.Next, o.Call} {
			if w != nil {
				text += " " + strings.Join(w.Titles, " ")
			}
		}
		for _, order := range o.Orders {
			text += " " + order.Item
		}
	}
	text = strings.ToLower(text)
	for word := range strings.FieldsSeq(strings.ToLower(words)) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

func (h overviewPages) overview(w http.ResponseWriter, r *http.Request) {
	if role(r.Context()) == roles.Staff {
		h.toTheirs(w, r)
		return
	}
	asked := askedFor(r.URL.Query())
	p := overviewPage{
		Lines: h.lines(r.Context(), asked), All: len(h.places.seenBy(r.Context())), Asked: asked.Words != "" || asked.Group != "",
		Table: h.places.SetUp != nil && role(r.Context()) == roles.Owner,
		Form: form.Form{Action: placesPath, Fields: []form.Field{
			{Name: "words", Label: wording.Search, Hint: wording.ANameATaskAPart, Kind: form.LineInput, Value: asked.Words, Most: 100},
			{Name: "by", Label: wording.Order, Kind: form.ChoiceInput, Value: asked.Order, Choices: overviewOrders},
		}},
	}
	if groups := h.groups(r.Context()); len(groups) > 0 {
		p.Form.Fields = append(p.Form.Fields, form.Field{Name: "group", Label: wording.OfGroup, Kind: form.ChoiceInput, Value: asked.Group, Choices: append([]form.Choice{{Label: wording.AllPlaces}}, groups...)})
	}
	for _, l := range p.Lines {
		switch {
		case l.Outlook == nil:
			p.Waiting++
		default:
			p.Past += l.Outlook.Past
			if len(l.Outlook.Alarms) > 0 {
				p.Alarms++
			}
		}
	}
	h.show(w, r, http.StatusOK, "overview", page{Title: wording.Places, Here: placesPath, Whole: true, Body: p})
}

// toTheirs leads staff to their place; of several they choose one.
func (h overviewPages) toTheirs(w http.ResponseWriter, r *http.Request) {
	theirs := h.places.seenBy(r.Context())
	if len(theirs) == 1 {
		http.Redirect(w, r, Under(theirs[0].id)+"/", http.StatusSeeOther)
		return
	}
	p := whichPlacePage{}
	for _, at := range theirs {
		p.Places = append(p.Places, placeLink{Name: at.name(), Page: Under(at.id) + "/"})
	}
	h.show(w, r, http.StatusOK, "whichplace", page{Title: wording.WhichPlace, Bare: true, Body: p})
}

// placeOutlook is a place for programs.
type placeOutlook struct {
	Place   string       `json:"place"`
	Page    string       `json:"page"`
	Outlook *day.Outlook `json:"outlook"` // null until it was worked out
}

func (h overviewPages) overviewJSON(w http.ResponseWriter, r *http.Request) {
	all := []placeOutlook{}
	for _, l := range h.lines(r.Context(), askedFor(r.URL.Query())) {
		all = append(all, placeOutlook{l.ID, l.Page, l.Outlook})
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	_ = json.NewEncoder(w).Encode(all) // who asked went away
}

// wholeCalendarPage tells how the calendar and the to-dos of all places are reached.
type wholeCalendarPage struct {
	Done     string
	Loopback bool
	Whole    *shownSubscription
	Round    string // address of the booked visits alone
	Apps     *appsSection
	Another  form.Form
	Problem  string
}

func (h overviewPages) calendarPage(r *http.Request) (wholeCalendarPage, error) {
	base, err := url.Parse(h.base(r))
	if err != nil || base.Host == "" {
		return wholeCalendarPage{}, &record.FieldError{Field: "Host", Value: r.Host, Want: wording.NameOfThisServer}
	}
	p := wholeCalendarPage{Loopback: loopback(base.Hostname()), Another: newAddressForm(), Done: doneWords[r.URL.Query().Get("done")]}
	p.Another.Action = placesPath + "/calendar/new"
	if h.Apps != nil {
		list, err := h.Apps.List(r.Context())
		if err != nil {
			return p, err
		}
		p.Apps = &appsSection{List: list, Server: TaskServer(base), User: AllPlaces, Form: appForm()}
		p.Apps.Form.Action = placesPath + "/calendar/apps"
	}
	secret, err := h.publisher.secret(r.Context())
	if err != nil || secret == "" {
		return p, err
	}
	s := Subscriptions(base, secret, day.PlaceInfo{Name: wording.AllPlaces})[0]
	code, err := NewQRCode(s.Webcal)
	if err != nil {
		return p, err
	}
	p.Whole = &shownSubscription{s, template.URL(s.Webcal), code}
	p.Round = base.JoinPath("calendar", secret, "equipment", roundFeed+".ics").String()
	return p, nil
}

func (h overviewPages) calendar(w http.ResponseWriter, r *http.Request) {
	p, err := h.calendarPage(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.showCalendar(w, r, http.StatusOK, p)
}

func (h overviewPages) showCalendar(w http.ResponseWriter, r *http.Request, status int, p wholeCalendarPage) {
	h.show(w, r, status, "wholecalendar", page{Title: wording.CalendarOfAllPlaces, Here: placesPath + "/calendar", Whole: true, Body: p})
}

// newAddress gives the calendar of all places another address.
func (h overviewPages) newAddress(w http.ResponseWriter, r *http.Request) {
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	p, err := h.calendarPage(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p.Another.Fill(filled)
	if !p.Another.Ticked("confirm") {
		p.Another.Wrong("confirm", errors.New(wording.TickTheBoxForANewAddress)) //nolint:staticcheck // a sentence that stands on the page
		h.showCalendar(w, r, http.StatusUnprocessableEntity, p)
		return
	}
	if _, err := h.NewSecret(r.Context()); err != nil {
		h.fail(w, r, err)
		return
	}
	h.publisher.forgetSecret()
	http.Redirect(w, r, placesPath+"/calendar?done="+doneReplaced, http.StatusSeeOther)
}

// addApp makes a password for an app that shows the to-dos of all places.
func (h overviewPages) addApp(w http.ResponseWriter, r *http.Request) {
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	p, err := h.calendarPage(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s := &p.Apps.Form
	s.Fill(filled)
	made, err := calendarPages{h.handler}.makePassword(r.Context(), s.Text("name"), s.Text("opens"))
	if mistake(err) {
		s.Blame(err)
		h.showCalendar(w, r, http.StatusUnprocessableEntity, p)
		return
	}
	if err == nil {
		p.Apps.Made = made
		p.Apps.List, err = h.Apps.List(r.Context())
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.showCalendar(w, r, http.StatusOK, p)
}

// revokeApp revokes such a password.
func (h overviewPages) revokeApp(w http.ResponseWriter, r *http.Request) {
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	if err := h.Apps.Revoke(r.Context(), filled.Get("name")); err != nil {
		h.fail(w, r, err)
		return
	}
	http.Redirect(w, r, placesPath+"/calendar?done="+doneRevoked, http.StatusSeeOther)
}
