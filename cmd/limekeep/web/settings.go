package web

import (
	"net/http"
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/placeform"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// settingsPages say how a place is set up, and change it.
type settingsPages struct{ *handler }

const settingsPath = "/settings"

func (h settingsPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+settingsPath, h.settings)
	mux.HandleFunc("POST "+settingsPath+"/{section}", h.change)
}

// settingsPage is the wishes of a place, a form each, and where all else is set.
type settingsPage struct {
	Written  *written
	Problems form.Problems
	Sections []settingsSection
	Things   []thing
	Password bool // whether there can be one
	People   bool // whether others can be let in
}

// settingsSection is one of the forms.
type settingsSection struct {
	Name, Title, Says string
	Form              form.Form
}

// Open reports whether the form is to be seen at once.
func (s settingsSection) Open() bool { return len(s.Form.Problems()) > 0 }

// thing is a piece of equipment as it is listed.
type thing struct {
	day.EquipmentInfo
	Kind string
}

// Path is the address at which it is changed.
func (t thing) Path() string { return changePath(t.Equipment) }

// written tells what a form that changes a place has just led to.
type written struct {
	Notice  *notice // nil where nothing was new
	Nothing bool    // it said what was known already
}

// setUpKinds are the kinds of record of which a place is made.
var setUpKinds = []record.Kind{record.KindPlace, record.KindEquipment, record.KindRetired, record.KindOwnCare}

// writtenOf finds what a form that changes a place has just led to; nil for nothing.
func (h *handler) writtenOf(r *http.Request, opened *day.Day) (*written, error) {
	if r.URL.Query().Get("written") == "0" {
		return &written{Nothing: true}, nil
	}
	n, err := h.noticeOf(r, opened, setUpKinds...)
	if n == nil || err != nil {
		return nil, err
	}
	return &written{Notice: n}, nil
}

// numberOf returns the number of the record that a change wrote; 0 for none.
func numberOf(c journal.Changed, err error) (int64, error) {
	if err != nil || len(c.Records) == 0 {
		return 0, err
	}
	return c.Records[0], nil
}

func (h settingsPages) settings(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := h.settingsPage(opened)
	if p.Written, err = h.writtenOf(r, opened); err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusOK, "settings", page{Title: wording.Settings, Here: settingsPath, Place: opened.Info(), Body: p})
}

func (h settingsPages) settingsPage(opened *day.Day) settingsPage {
	p := settingsPage{Things: thingsOf(opened), Password: h.Owner != nil, People: h.People != nil}
	for _, s := range placeform.Sections() {
		p.Sections = append(p.Sections, settingsSection{s.Name, s.Title, s.Says, h.sectionForm(s, opened.Place)})
	}
	return p
}

func (h settingsPages) sectionForm(s placeform.Section, place record.Place) form.Form {
	return form.Form{Action: settingsPath + "/" + s.Name, Token: h.tokens.Draw(), Button: wording.KeepItSo, Quiet: true, Fields: s.Fields(place)}
}

// thingsOf lists the equipment of a place.
func thingsOf(opened *day.Day) []thing {
	var all []thing
	for _, e := range opened.Book.Equipment() {
		all = append(all, thing{day.EquipmentInfo{Equipment: e.ID, Name: e.Title()}, say.EquipmentKind(e)})
	}
	return all
}

// change takes one of the forms.
func (h settingsPages) change(w http.ResponseWriter, r *http.Request) {
	section, ok := placeform.SectionOf(r.PathValue("section"))
	if !ok {
		h.nothingHere(w, r)
		return
	}
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	s := h.sectionForm(section, opened.Place)
	s.Fill(filled)
	place := section.Read(&s, opened.Place)
	taken, err := h.takeOnce(w, r, &s, filled, func() (int64, error) {
		return numberOf(h.journalOf(r.Context()).Change(r.Context(), opened, func(to *schedule.Setup) { to.Place = place }))
	}, settingsPath)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		p := h.settingsPage(opened)
		i := slices.IndexFunc(p.Sections, func(other settingsSection) bool { return other.Name == section.Name })
		p.Sections[i].Form, p.Problems = s, s.Problems()
		h.showForm(w, r, http.StatusUnprocessableEntity, "settings", page{Title: wording.PleaseCorrectSettings, Here: settingsPath, Place: opened.Info(), Body: p})
	}
}
