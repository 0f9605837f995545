package web

import (
	"cmp"
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// peoplePages let people in beside the owner, change what as, and withdraw that.
type peoplePages struct {
	*handler
	names func(context.Context) ([]placeName, error) // of the places there are
}

// placeName is a place by its id and what people call it.
type placeName struct{ ID, Name string }

func (h peoplePages) routes(mux *http.ServeMux) {
	if h.People == nil || h.Under != "" { // of several places they are about all
		return
	}
	mux.HandleFunc("GET "+peoplePath, h.all)
	mux.HandleFunc("POST "+peoplePath, h.invite)
	mux.HandleFunc("POST "+peoplePath+"/change", h.changePerson)
	mux.HandleFunc("POST "+peoplePath+"/remove", h.remove)
}

// peoplePage is who may come in.
type peoplePage struct {
	List     []personLine
	Invite   form.Form
	Problems form.Problems
	Done     string // what was done a moment ago; empty for nothing
	Made     *madeInvitation
	Open     bool // no password is set: whoever reaches the pages may do everything
}

// personLine is somebody with the form that changes what they are.
type personLine struct {
	Person
	At   string // the places, in words
	Form form.Form
}

// madeInvitation is a link that is shown this once.
type madeInvitation struct {
	Name, Address string
	Code          QRCode
}

// Of says what the code is of.
func (m madeInvitation) Of() string { return wording.TheLink }

// roleChoices are what somebody can be, with what each may do.
func roleChoices() []form.Choice {
	return []form.Choice{
		{Value: string(roles.Technician), Label: wording.TechnicianMay},
		{Value: string(roles.Staff), Label: wording.StaffMay},
		{Value: string(roles.Reader), Label: wording.ReaderMay},
	}
}

// fields ask what somebody is and where; prefix keeps the ids of several forms apart.
func (h peoplePages) fields(prefix string, p Person, places []placeName) []form.Field {
	fields := []form.Field{{Name: prefix + "role", Label: wording.WhatAs, Kind: form.ChoiceInput, Value: string(p.Role), Choices: roleChoices(), About: []string{"role"}}}
	if len(places) < 2 {
		return fields
	}
	at := form.Field{Name: prefix + "places", Label: wording.WhichPlaces, Hint: wording.NoneForAllPlaces, Kind: form.SectionInput}
	for _, place := range places {
		value := ""
		if slices.Contains(p.Places, place.ID) {
			value = "yes"
		}
		at.Row = append(at.Row, form.Field{Name: prefix + "at:" + place.ID, Label: place.Name, Kind: form.BoxInput, Value: value})
	}
	return append(fields, at)
}

// said reads them.
func said(s *form.Form, prefix string) Person {
	p := Person{Role: roles.Role(s.Text(prefix + "role"))}
	for f := range s.Inputs() {
		if id, ok := strings.CutPrefix(f.Name, prefix+"at:"); ok && f.Value == "yes" {
			p.Places = append(p.Places, id)
		}
	}
	return p
}

// namesAmong gives the names of places; the id of one that is no longer there.
func namesAmong(places []placeName, ids []string) []string {
	var names []string
	for _, id := range ids {
		name := id
		if i := slices.IndexFunc(places, func(p placeName) bool { return p.ID == id }); i >= 0 {
			name = places[i].Name
		}
		names = append(names, name)
	}
	return names
}

// page gathers who may come in.
func (h peoplePages) page(r *http.Request) (*peoplePage, error) {
	ctx := r.Context()
	places, err := h.names(ctx)
	if err != nil {
		return nil, err
	}
	list, err := h.People.List(ctx)
	if err != nil {
		return nil, err
	}
	p := &peoplePage{Open: true}
	if h.Owner != nil {
		has, err := h.Owner.HasPassword(ctx)
		if err != nil {
			return nil, err
		}
		p.Open = !has
	}
	for _, who := range list {
		line := personLine{Person: who, At: wording.AllPlaces}
		if names := namesAmong(places, who.Places); len(names) > 0 {
			line.At = strings.Join(names, ", ")
		}
		prefix := formID(who.Name)
		line.Form = form.Form{Action: peoplePath + "/change", Button: wording.ChangeIt, Quiet: true, Fields: append(
			[]form.Field{{Name: "name", Kind: form.FixedInput, Value: who.Name}}, h.fields(prefix, who, places)...)}
		p.List = append(p.List, line)
	}
	p.Invite = form.Form{Action: peoplePath, Button: wording.InviteThem, Fields: append(
		[]form.Field{{Name: "who", Label: wording.NameOfWhoComes, Hint: wording.ThatIsKnownAlready, Kind: form.LineInput, Required: true, Example: wording.AnnaExample, Most: 60, About: []string{"name", "place"}}},
		h.fields("", Person{Role: roles.Technician}, places)...)}
	switch done := r.URL.Query().Get("done"); done {
	case "changed", "removed":
		p.Done = doneWithPeople[done]
	}
	return p, nil
}

// doneWithPeople says what was done a moment ago.
var doneWithPeople = map[string]string{"changed": wording.WhatTheyMayIsChanged, "removed": wording.TheyComeInNoLonger}

// formID makes a beginning of ids of a form from a name that may hold anything.
func formID(name string) string { return url.QueryEscape(name) + "-" }

func (h peoplePages) showPeople(w http.ResponseWriter, r *http.Request, status int, p *peoplePage) {
	shown := page{Title: wording.People, Here: peoplePath, Whole: h.All, Body: p}
	if !h.All {
		opened, err := h.open(r.Context())
		if err != nil {
			h.fail(w, r, err)
			return
		}
		shown.Place = opened.Info()
	}
	w.Header().Set("Cache-Control", "no-store") // it may hold a secret
	h.show(w, r, status, "people", shown)
}

func (h peoplePages) all(w http.ResponseWriter, r *http.Request) {
	p, err := h.page(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.showPeople(w, r, http.StatusOK, p)
}

// invite makes a link, which is shown this once.
func (h peoplePages) invite(w http.ResponseWriter, r *http.Request) {
	p, filled, ok := h.sentHere(w, r)
	if !ok {
		return
	}
	p.Invite.Fill(filled)
	who := said(&p.Invite, "")
	who.Name = p.Invite.Text("who")
	if p.Open {
		p.Invite.Wrong("", &record.FieldError{Field: "password", Want: wording.APasswordFirst})
	}
	if len(p.Invite.Problems()) == 0 {
		secret, err := h.People.Invite(r.Context(), who)
		switch {
		case mistake(err):
			p.Invite.Blame(err)
		case err != nil:
			h.fail(w, r, err)
			return
		default:
			h.showMade(w, r, who.Name, secret)
			return
		}
	}
	p.Problems = p.Invite.Problems()
	h.showPeople(w, r, http.StatusUnprocessableEntity, p)
}

// showMade shows a link that was made.
func (h peoplePages) showMade(w http.ResponseWriter, r *http.Request, name, secret string) {
	p, err := h.page(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	address := h.base(r) + invitedPath + "/" + secret
	code, err := NewQRCode(address)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p.Made = &madeInvitation{Name: strings.TrimSpace(name), Address: address, Code: code}
	h.showPeople(w, r, http.StatusOK, p)
}

// sentHere reads a form of the page; false where the request was answered.
func (h peoplePages) sentHere(w http.ResponseWriter, r *http.Request) (*peoplePage, url.Values, bool) {
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return nil, nil, false
	}
	p, err := h.page(r)
	if err != nil {
		h.fail(w, r, err)
		return nil, nil, false
	}
	return p, filled, true
}

// changePerson changes what somebody is, and where they may come to.
func (h peoplePages) changePerson(w http.ResponseWriter, r *http.Request) {
	p, filled, ok := h.sentHere(w, r)
	if !ok {
		return
	}
	name := filled.Get("name")
	i := slices.IndexFunc(p.List, func(l personLine) bool { return l.Name == name })
	if i < 0 {
		h.message(w, r, http.StatusNotFound, wording.NotKnown, wording.NobodyIsCalledSo)
		return
	}
	s := &p.List[i].Form
	s.Fill(filled)
	who := said(s, formID(name))
	who.Name = name
	err := h.People.Change(r.Context(), who)
	switch {
	case mistake(err):
		s.Blame(err)
		p.Problems = s.Problems()
		h.showPeople(w, r, http.StatusUnprocessableEntity, p)
	case err != nil:
		h.fail(w, r, err)
	default:
		http.Redirect(w, r, peoplePath+"?done=changed", http.StatusSeeOther)
	}
}

// remove withdraws what somebody was given.
func (h peoplePages) remove(w http.ResponseWriter, r *http.Request) {
	p, filled, ok := h.sentHere(w, r)
	if !ok {
		return
	}
	name := filled.Get("name")
	if !slices.ContainsFunc(p.List, func(l personLine) bool { return l.Name == name }) {
		h.message(w, r, http.StatusNotFound, wording.NotKnown, wording.NobodyIsCalledSo)
		return
	}
	if err := h.People.Remove(r.Context(), name); err != nil {
		h.fail(w, r, err)
		return
	}
	http.Redirect(w, r, peoplePath+"?done=removed", http.StatusSeeOther)
}

// placeNames lists the places of the server with what people call them.
func (p *places) placeNames(context.Context) ([]placeName, error) {
	var all []placeName
	for _, at := range p.list() {
		all = append(all, placeName{at.id, at.name()})
	}
	slices.SortStableFunc(all, func(a, b placeName) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	return all, nil
}

// onlyPlace is the place of a server of one.
func (h *handler) onlyPlace(ctx context.Context) ([]placeName, error) {
	opened, err := h.open(ctx)
	if err != nil {
		return nil, err
	}
	return []placeName{{opened.Place.ID, opened.Info().Name}}, nil
}
