package web

import (
	"net/http"
	"net/url"
	"strconv"

	"limekeep/cmd/limekeep/intake/fleetfile"
	"limekeep/cmd/limekeep/web/api"
	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// tablePages set many places up from a table: a file is brought, what would be added and
// changed is shown, and it is written down once that is right. The same table twice changes
// nothing, so that its forms need no token.
type tablePages struct {
	*handler
	places *places
	files  *keptUploads
}

// tablePath is the address of the page that takes a table of places.
const tablePath = placesPath + "/table"

// mostTableBytes is how long a table of places can be.
const mostTableBytes = 16 << 20

func (h tablePages) routes(mux *http.ServeMux) {
	if h.places.SetUp == nil {
		return
	}
	mux.HandleFunc("GET "+tablePath, h.ask)
	mux.HandleFunc("GET "+tablePath+".csv", h.csv)
	mux.HandleFunc("POST "+tablePath, h.bring)
	mux.HandleFunc("GET "+tablePath+"/{id}", h.look)
	mux.HandleFunc("POST "+tablePath+"/{id}", h.take)
}

// tablePage is the beginning: which file.
type tablePage struct {
	Says     string // what was done a moment ago; empty for nothing
	Headings []string
	Problems form.Problems
	Form     form.Form
}

func (h tablePages) page() tablePage {
	return tablePage{Headings: fleetfile.Headings(), Form: form.Form{Action: tablePath, Button: wording.LookAtIt, File: true, Fields: []form.Field{
		{Name: "table", Label: wording.TheTable, Hint: wording.TableFileHint, Kind: form.FileInput, Required: true},
	}}}
}

func (h tablePages) show(w http.ResponseWriter, r *http.Request, status int, name string, body any) {
	h.showForm(w, r, status, name, page{Title: wording.PlacesFromATable, Here: tablePath, Whole: true, Body: body})
}

func (h tablePages) ask(w http.ResponseWriter, r *http.Request) {
	p, q := h.page(), r.URL.Query()
	added, err := strconv.ParseUint(q.Get("added"), 10, 20)
	changed, err2 := strconv.ParseUint(q.Get("changed"), 10, 20)
	switch {
	case q.Has("gone"):
		p.Says = wording.FileNoLongerAtHand
	case err == nil && err2 == nil:
		p.Says = wording.PlacesWritten(added, changed)
	}
	h.show(w, r, http.StatusOK, "table", p)
}

// csv gives the places as a table, to be changed and brought again.
func (h tablePages) csv(w http.ResponseWriter, r *http.Request) {
	rows, err := h.places.SetUp.Table(r.Context(), 0, "")
	if err != nil {
		h.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="places.csv"`)
	_ = api.WriteFleetTable(w, rows) // who asked went away
}

// bring keeps a file to be looked at.
func (h tablePages) bring(w http.ResponseWriter, r *http.Request) {
	_, file, ok := h.brought(w, r, mostTableBytes)
	if !ok {
		return
	}
	if file.Name == "" {
		p := h.page()
		p.Form.Wrong("table", form.ErrNoFile)
		p.Problems = p.Form.Problems()
		h.show(w, r, http.StatusUnprocessableEntity, "table", p)
		return
	}
	http.Redirect(w, r, tablePath+"/"+h.files.keep(file), http.StatusSeeOther)
}

// mostRowsShown is how many places are told of one by one.
const mostRowsShown = 60

// tableLook is what a table would do.
type tableLook struct {
	Name    string
	Refused []string // all that is wrong with it; none where it can be taken
	Answer  api.FleetAnswer
	Rows    []api.FleetRow // those that would be added or changed, so many as are shown
	More    int            // beyond those
	Tell    form.Form      // what new places are like
	Take    *form.Form     // nil where there is nothing to take
}

// lookAt reads a table, and writes it down where it is not dry.
func (h tablePages) lookAt(r *http.Request, id string, file form.Upload, like string, dry bool) (tableLook, error) {
	p := tableLook{Name: file.Name, Tell: form.Form{Action: tablePath + "/" + id, Asks: true, Button: wording.LookAgain, Quiet: true}}
	choice := form.Field{Name: "like", Label: wording.NewPlacesAreLike, Hint: wording.NewPlacesAreLikeHint, Kind: form.ChoiceInput, Value: like, Choices: []form.Choice{{Label: wording.AsTheTableSaysAlone}}}
	for _, at := range h.places.list() {
		choice.Choices = append(choice.Choices, form.Choice{Value: at.id, Label: at.name()})
	}
	p.Tell.Fields = []form.Field{choice}
	answer, err := h.places.SetUp.Apply(r.Context(), 0, api.FleetGiven{CSV: string(file.Data), Like: like, DryRun: dry})
	if blamable(err) {
		if all, ok := record.MistakesOf(err); ok {
			for _, one := range all {
				p.Refused = append(p.Refused, one.Error())
			}
		} else {
			p.Refused = []string{err.Error()}
		}
		return p, nil
	}
	if err != nil {
		return p, err
	}
	p.Answer = answer
	for _, row := range answer.Places {
		switch {
		case row.Same():
		case len(p.Rows) < mostRowsShown:
			p.Rows = append(p.Rows, row)
		default:
			p.More++
		}
	}
	if answer.Added+answer.Changed > 0 {
		p.Take = &form.Form{Action: tablePath + "/" + id, Button: wording.WriteItDown, Fields: []form.Field{{Name: "like", Kind: form.FixedInput, Value: like}}}
	}
	return p, nil
}

// look shows what a table would do, and writes nothing.
func (h tablePages) look(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	file, ok := h.files.find(id)
	if !ok {
		http.Redirect(w, r, tablePath+"?gone", http.StatusSeeOther)
		return
	}
	p, err := h.lookAt(r, id, file, r.URL.Query().Get("like"), true)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.show(w, r, http.StatusOK, "tablelook", p)
}

// take writes a table down as it was shown.
func (h tablePages) take(w http.ResponseWriter, r *http.Request) {
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	id := r.PathValue("id")
	file, ok := h.files.find(id)
	if !ok {
		http.Redirect(w, r, tablePath+"?gone", http.StatusSeeOther)
		return
	}
	p, err := h.lookAt(r, id, file, filled.Get("like"), false)
	switch {
	case err != nil:
		h.fail(w, r, err)
		return
	case len(p.Refused) > 0:
		h.show(w, r, http.StatusUnprocessableEntity, "tablelook", p)
		return
	}
	h.places.nudge() // their plans are worked out
	done := url.Values{"added": {strconv.Itoa(p.Answer.Added)}, "changed": {strconv.Itoa(p.Answer.Changed)}}
	http.Redirect(w, r, tablePath+"?"+done.Encode(), http.StatusSeeOther)
}
