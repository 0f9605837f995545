package web

import (
	"fmt"
	"net/http"
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/placeform"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// carePages take tasks of the owner's own, and switch tasks of the catalogue off and on.
type carePages struct{ *handler }

const carePath = settingsPath + "/care"

func (h carePages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+carePath, h.show)
	mux.HandleFunc("POST "+carePath+"/tasks", h.change)
	mux.HandleFunc("POST "+carePath+"/off", h.switchOff)
	mux.HandleFunc("POST "+carePath+"/on", h.switchOn)
}

// carePage is what the owner changed of the care catalogue.
type carePage struct {
	Written  *written
	Problems form.Problems
	Tasks    form.Form
	Off      []switchedOff
	SwitchOf form.Form
}

// switchedOff is a change that switches tasks off.
type switchedOff struct {
	record.CareChange
	Title string
	Form  form.Form
}

func (h carePages) page(opened *day.Day) carePage {
	own := opened.Book.OwnCare().Body
	p := carePage{
		Tasks:    form.Form{Action: carePath + "/tasks", Token: h.tokens.Draw(), Button: wording.KeepThemSo, Fields: placeform.OwnTasks(own.Tasks, allAround(opened))},
		SwitchOf: form.Form{Action: carePath + "/off", Token: h.tokens.Draw(), Button: wording.SwitchItOff, Quiet: true},
	}
	which := form.Field{Name: "off-task", Label: wording.Task, Kind: form.ChoiceInput, About: []string{"task"}}
	for _, d := range opened.Duties {
		if d.Off || d.Own {
			continue
		}
		i := slices.IndexFunc(which.Groups, func(g form.ChoiceGroup) bool { return g.Label == d.Equipment.Title() })
		if i < 0 {
			which.Groups, i = append(which.Groups, form.ChoiceGroup{Label: d.Equipment.Title()}), len(which.Groups)
		}
		which.Groups[i].Choices = append(which.Groups[i].Choices, form.Choice{Value: d.ID, Label: d.Title})
	}
	p.SwitchOf.Fields = []form.Field{which, {Name: "off-note", Label: wording.Why, Hint: wording.LicensedWorkAsksForAReason, Kind: form.LineInput, Most: 300, About: []string{"note"}}}
	for _, c := range own.Changes {
		if !c.Off {
			continue
		}
		off := switchedOff{CareChange: c, Title: c.Task, Form: form.Form{Action: carePath + "/on", Token: h.tokens.Draw(), Button: wording.SwitchItOnAgain, Quiet: true,
			Fields: []form.Field{{Name: "on-task", Kind: form.FixedInput, Value: c.Task}}}}
		for _, d := range opened.Duties {
			if d.Called(c.Task) {
				off.Title = d.Title + ", " + d.Equipment.Title()
			}
		}
		p.Off = append(p.Off, off)
	}
	return p
}

// allAround lists all equipment of a place to choose from.
func allAround(opened *day.Day) placeform.Around {
	a := aroundOf(opened, "")
	for _, e := range opened.Book.Equipment() {
		a.All = append(a.All, form.Choice{Value: e.ID, Label: e.Title()})
	}
	return a
}

func (h carePages) show(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := h.page(opened)
	if p.Written, err = h.writtenOf(r, opened); err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusOK, "care", page{Title: wording.YourOwnTasks, Here: settingsPath, Place: opened.Info(), Body: p})
}

// keep writes an owner's changes down, once, and leads back; or shows what is wrong.
func (h carePages) keep(w http.ResponseWriter, r *http.Request, opened *day.Day, p *carePage, s *form.Form, filled map[string][]string, own record.OwnCare) {
	taken, err := h.takeOnce(w, r, s, filled, func() (int64, error) {
		return numberOf(h.journalOf(r.Context()).Change(r.Context(), opened, func(to *schedule.Setup) { to.Care = own }))
	}, carePath)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		p.Problems = s.Problems()
		h.showForm(w, r, http.StatusUnprocessableEntity, "care", page{Title: wording.PleaseCorrectYourOwnTasks, Here: settingsPath, Place: opened.Info(), Body: *p})
	}
}

func (h carePages) change(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	p, own := h.page(opened), opened.Book.OwnCare().Body
	p.Tasks.Fill(filled)
	own.Tasks = placeform.ReadOwnTasks(&p.Tasks, own.Tasks)
	h.keep(w, r, opened, &p, &p.Tasks, filled, own)
}

func (h carePages) switchOff(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	p, own := h.page(opened), opened.Book.OwnCare().Body
	s := &p.SwitchOf
	s.Fill(filled)
	own.Changes = append(slices.Clone(own.Changes), record.CareChange{Task: s.Text("off-task"), Off: true, Note: s.Text("off-note")})
	at := fmt.Sprintf("care.changes[%d].", len(own.Changes)-1)
	s.Call("off-task", at+"task")
	s.Call("off-note", at+"note")
	s.Call("off-task", at+"off")
	h.keep(w, r, opened, &p, s, filled, own)
}

func (h carePages) switchOn(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	p, own := h.page(opened), opened.Book.OwnCare().Body
	own.Changes = slices.DeleteFunc(slices.Clone(own.Changes), func(c record.CareChange) bool { return c.Off && c.Task == filled.Get("on-task") })
	s := &form.Form{}
	s.Fill(filled)
	h.keep(w, r, opened, &p, s, filled, own)
}
