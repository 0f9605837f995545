package web

import (
	"net/http"
	"net/url"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/placeform"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// changePages change a piece of equipment, or take it out of the place.
type changePages struct{ *handler }

func (h changePages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+settingsPath+"/equipment/{id}", h.show)
	mux.HandleFunc("POST "+settingsPath+"/equipment/{id}", h.change)
	mux.HandleFunc("GET "+settingsPath+"/equipment/{id}/retire", h.ask)
	mux.HandleFunc("POST "+settingsPath+"/equipment/{id}/retire", h.retire)
}

// changePath is the address at which a piece of equipment is changed.
func changePath(id string) string { return settingsPath + "/equipment/" + url.PathEscape(id) }

// changePage is a piece of equipment as a form.
type changePage struct {
	ID, Name, Kind string
	Written        *written
	Problems       form.Problems
	Form           form.Form
}

func (h changePages) show(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	e, err := opened.Book.Find(r.PathValue("id"))
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := h.changePage(opened, e)
	if p.Written, err = h.writtenOf(r, opened); err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusOK, "change", page{Title: wording.ChangeThing(p.Name), Here: settingsPath, Place: opened.Info(), Body: p})
}

func (h changePages) changePage(opened *day.Day, e record.Equipment) changePage {
	p := changePage{ID: e.ID, Name: e.Title(), Kind: say.EquipmentKind(e), Form: form.Form{
		Action: changePath(e.ID), Token: h.tokens.Draw(), Button: wording.KeepItSo, Fields: placeform.Equipment(e, aroundOf(opened, e.ID)),
	}}
	p.Form.TellFor(opened.Place)
	return p
}

// aroundOf lists what else there is at a place to choose from.
func aroundOf(opened *day.Day, id string) placeform.Around {
	var a placeform.Around
	for _, e := range opened.Book.Equipment() {
		choice := form.Choice{Value: e.ID, Label: e.Title()}
		switch {
		case e.Line != nil:
			a.Lines = append(a.Lines, choice)
		case e.Machine != nil:
			a.Machines = append(a.Machines, choice)
		}
	}
	for _, d := range opened.Duties {
		if d.Equipment.ID == id && !d.Own {
			a.Tasks = append(a.Tasks, form.Choice{Value: d.Task.ID, Label: d.Task.Title})
		}
	}
	return a
}

func (h changePages) change(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	e, err := opened.Book.Find(r.PathValue("id"))
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := h.changePage(opened, e)
	p.Form.Fill(filled)
	changed := placeform.ReadEquipment(&p.Form, e)
	taken, err := h.takeOnce(w, r, &p.Form, filled, func() (int64, error) {
		return numberOf(h.journalOf(r.Context()).Change(r.Context(), opened, func(to *schedule.Setup) {
			for i := range to.Equipment {
				if to.Equipment[i].ID == e.ID {
					to.Equipment[i] = changed
				}
			}
		}))
	}, changePath(e.ID))
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		p.Problems = p.Form.Problems()
		h.showForm(w, r, http.StatusUnprocessableEntity, "change", page{Title: wording.PleaseCorrect(p.Name), Here: settingsPath, Place: opened.Info(), Body: p})
	}
}

// retirePage asks whether equipment is to leave the place.
type retirePage struct {
	ID, Name string
	Problem  string // why it cannot
	Form     form.Form
}

func (h changePages) retirePage(e record.Equipment) retirePage {
	return retirePage{ID: e.ID, Name: e.Title(), Form: form.Form{Action: changePath(e.ID) + "/retire", Token: h.tokens.Draw(), Button: wording.ItHasLeftThePlace}}
}

func (h changePages) ask(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	e, err := opened.Book.Find(r.PathValue("id"))
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusOK, "retire", page{Title: wording.RetireThing(e.Title()), Here: settingsPath, Place: opened.Info(), Body: h.retirePage(e)})
}

func (h changePages) retire(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	id := r.PathValue("id")
	e, err := opened.Book.Find(id)
	if written, was := h.tokens.Record(r.Context(), form.TokenOf(filled)); err != nil && was {
		seeOther(w, r, settingsPath, written) // sent again
		return
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := h.retirePage(e)
	p.Form.Fill(filled)
	taken, err := h.takeOnce(w, r, &p.Form, filled, func() (int64, error) {
		c, err := h.journalOf(r.Context()).Retire(r.Context(), opened, id)
		if err != nil || len(c.Records) == 0 {
			return 0, err
		}
		return c.Records[len(c.Records)-1], nil
	}, settingsPath)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		p.Problem = p.Form.Problem
		h.showForm(w, r, http.StatusUnprocessableEntity, "retire", page{Title: wording.RetireThing(p.Name), Here: settingsPath, Place: opened.Info(), Body: p})
	}
}
