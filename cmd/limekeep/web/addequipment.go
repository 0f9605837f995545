package web

import (
	"errors"
	"net/http"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/placeform"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/interview"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// addPages add equipment to a place that is set up, by the questions of a set-up.
type addPages struct{ *handler }

const addPath = settingsPath + "/add"

func (h addPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+addPath, h.choose)
	mux.HandleFunc("GET "+addPath+"/{what}", h.ask)
	mux.HandleFunc("POST "+addPath+"/{what}", h.add)
	mux.HandleFunc("GET "+addPath+"/tools", h.askTools)
	mux.HandleFunc("POST "+addPath+"/tools", h.addTools)
}

// addition is what can be added, as it is offered.
type addition struct {
	what           interview.Addition
	Label          string
	Says           string
	Drawing        string
	needs          func(record.Equipment) bool // what must be there already; nil for nothing
	button, review string
}

var additions = []addition{
	{interview.AddMachine, wording.AnEspressoMachine, wording.WithTheWaterThatItGets, "machine", nil, wording.AddIt, wording.AddThisMachine},
	{interview.AddGrinder, wording.AGrinder, wording.ForOneMachineOrForAll, "grinder", func(e record.Equipment) bool { return e.Machine != nil }, wording.AddIt, wording.AddThisGrinder},
	{interview.AddCartridge, wording.ACartridgeOrFilter, wording.WhereThereWasNoneOrBehindAnother, "cartridge", func(e record.Equipment) bool { return e.Line != nil }, wording.AddIt, wording.AddThisCartridge},
	{interview.AddLine, wording.AWaterLine, wording.MainsOrATankWithItsTreatment, "mains", nil, wording.AddIt, wording.AddThisWaterLine},
	{"tools", wording.Tools, wording.AScaleATamperAThermometer, "tools", nil, "", ""},
}

// Path is the address at which it is asked about.
func (a addition) Path() string { return addPath + "/" + string(a.what) }

// offered lists what can be added to a place.
func offered(opened *day.Day) []addition {
	var all []addition
	for _, a := range additions {
		there := a.needs == nil
		for _, e := range opened.Book.Equipment() {
			there = there || a.needs(e)
		}
		if there {
			all = append(all, a)
		}
	}
	return all
}

func additionOf(opened *day.Day, what string) (addition, bool) {
	for _, a := range offered(opened) {
		if string(a.what) == what && a.button != "" {
			return a, true
		}
	}
	return addition{}, false
}

func (h addPages) choose(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.show(w, r, http.StatusOK, "add", page{Title: wording.AddEquipment, Here: settingsPath, Place: opened.Info(), Body: offered(opened)})
}

// askingOf asks about what is to be added.
func askingOf(a addition, to schedule.Setup) asking {
	return asking{a.Path(), func(is interview.Answers) []interview.Question { return interview.QuestionsToAdd(a.what, is, to) }}
}

// takenIn reports which ids equipment or a stage of a water line has or ever had.
func takenIn(opened *day.Day) func(id string) bool {
	taken := map[string]bool{}
	for _, entry := range opened.Book.Entries {
		e, ok := entry.Body.(record.Equipment)
		if !ok {
			continue
		}
		taken[e.ID] = true
		if e.Line != nil {
			for _, t := range e.Line.Treatment {
				taken[t.ID] = true
			}
		}
	}
	return func(id string) bool { return taken[id] }
}

// ask shows the next question, or all answers before they are written down.
func (h addPages) ask(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	a, ok := additionOf(opened, r.PathValue("what"))
	if !ok {
		h.nothingHere(w, r)
		return
	}
	asking, given := askingOf(a, journal.SetupOf(opened)), r.URL.Query()
	is := asking.answersIn(given, opened.Today)
	q, more := asking.next(is)
	problem, value := "", ""
	if more {
		if typed, ok := typedAnswer(given, q); ok {
			read, err := q.Read(typed, opened.Today)
			var wrong *record.FieldError
			switch {
			case errors.As(err, &wrong):
				problem, value = wording.PleaseGive(wrong.Want), typed
			case err != nil:
				h.fail(w, r, err)
				return
			case typed == "" && q.Kind == interview.Choice:
				problem = wording.ChooseOneOrDoNotKnow
			default:
				is[q.ID] = read
				http.Redirect(w, r, asking.addressWithout(is), http.StatusSeeOther)
				return
			}
		}
	}
	before := asking.list(is)
	back := addPath
	if len(before) > 0 {
		back = before[len(before)-1].Change
	}
	if !more {
		h.review(w, r, http.StatusOK, opened, a, asking, is, "")
		return
	}
	status := http.StatusOK
	if problem != "" {
		status = http.StatusUnprocessableEntity
	}
	h.show(w, r, status, "setup", page{Title: q.Ask, Here: settingsPath, Place: opened.Info(), Body: questionPage{
		Question: q, Path: asking.Path, Number: len(before) + 1, Of: len(asking.questions(is)), Costs: wording.ThisIsAssumed(q.Unknown), Value: value, Problem: problem, Before: before, Back: back,
	}})
}

// review shows all answers, and what is assumed beside them.
func (h addPages) review(w http.ResponseWriter, r *http.Request, status int, opened *day.Day, a addition, asking asking, is interview.Answers, problem string) {
	_, _, assumed := is.Add(a.what, journal.SetupOf(opened), opened.Today, takenIn(opened))
	h.showForm(w, r, status, "setup", page{Title: a.review, Here: settingsPath, Place: opened.Info(), Body: reviewPage{
		Path: asking.Path, Token: h.tokens.Draw(), Button: a.button, Answers: asking.list(is), Assumed: assumed, Problem: problem,
	}})
}

// add writes the answers down, once, and leads to what was added, where the rest of what
// is known of it can be said.
func (h addPages) add(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	a, ok := additionOf(opened, r.PathValue("what"))
	if !ok {
		h.nothingHere(w, r)
		return
	}
	asking := askingOf(a, journal.SetupOf(opened))
	is := asking.answersIn(filled, opened.Today)
	if _, more := asking.next(is); more {
		http.Redirect(w, r, asking.addressWithout(is), http.StatusSeeOther)
		return
	}
	id := ""
	written, err := h.tokens.Once(r, form.TokenOf(filled), func() (int64, error) {
		return numberOf(h.journalOf(r.Context()).Change(r.Context(), opened, func(to *schedule.Setup) {
			*to, id, _ = is.Add(a.what, *to, opened.Today, takenIn(opened))
		}))
	})
	switch {
	case blamable(err):
		h.review(w, r, http.StatusUnprocessableEntity, opened, a, asking, is, err.Error())
	case err != nil:
		h.fail(w, r, err)
	case id == "": // sent again
		seeOther(w, r, settingsPath, written)
	default:
		seeOther(w, r, changePath(id), written)
	}
}

// toolsForm asks which tools there are.
func (h addPages) toolsForm(opened *day.Day) (form.Form, record.Equipment) {
	e := record.Equipment{ID: "tools", Name: wording.Tools, Tools: &record.Tools{Setting: record.Home}}
	for i := byte('2'); takenIn(opened)(e.ID) && i <= '9'; i++ {
		e.ID = "tools-" + string(i)
	}
	return form.Form{Action: addPath + "/tools", Token: h.tokens.Draw(), Button: wording.AddThem, Fields: placeform.Equipment(e, placeform.Around{})}, e
}

func (h addPages) askTools(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s, _ := h.toolsForm(opened)
	h.showForm(w, r, http.StatusOK, "addtools", page{Title: wording.AddTools, Here: settingsPath, Place: opened.Info(), Body: s})
}

func (h addPages) addTools(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	s, e := h.toolsForm(opened)
	s.Fill(filled)
	e = placeform.ReadEquipment(&s, e)
	taken, err := h.takeOnce(w, r, &s, filled, func() (int64, error) {
		return numberOf(h.journalOf(r.Context()).Change(r.Context(), opened, func(to *schedule.Setup) { to.Equipment = append(to.Equipment, e) }))
	}, settingsPath)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		h.showForm(w, r, http.StatusUnprocessableEntity, "addtools", page{Title: wording.PleaseCorrectTools, Here: settingsPath, Place: opened.Info(), Body: s})
	}
}
