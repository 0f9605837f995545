package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// taskPage is one task: what can hurt, when it is due and why, how it is done,
// and the form to write it down.
type taskPage struct {
	Notice   *notice // what was just written down; nil for nothing
	Due      day.Due
	Info     day.TaskInfo
	Licensed bool          // booked with licensed people and never explained
	ByTest   bool          // a water test written down is this task done
	Form     serviceForm   // of a task that is neither of these two
	Check    *checkSection // of a task that a reading does; nil for any other
	Move     *moveSection  // of a task that has sittings; nil for any other
	Problems problems      // of whichever form was sent
}

// serviceForm is the form that records a service, as filled in.
type serviceForm struct {
	Action   string
	Token    string
	Date     string
	Findings []choice // none where the task records none
	Scale    bool     // grams of scale can be given
	Grams    string
	Note     string
	Problems problems
}

func (h *handler) task(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, err := h.taskPage(f, r.PathValue("id"))
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if p.Due.Task != r.PathValue("id") {
		// Part of an id is enough to find the task, but it has one address.
		http.Redirect(w, r, "/tasks/"+p.Due.Task, http.StatusFound)
		return
	}
	if p.Notice, err = h.taskNotice(r, f, p); err != nil {
		h.fail(w, r, err)
		return
	}
	keepForm(w)
	h.show(w, r, http.StatusOK, "task", page{Title: p.Due.Title, Place: f.Day.Info(), Body: p})
}

// taskNotice tells what a form of a task's page has just written down, and what
// follows from it: what the readings say, or what a move risks.
func (h *handler) taskNotice(r *http.Request, f *day.Forecast, p taskPage) (*notice, error) {
	written, err := h.noticeOf(r, f.Day, record.KindMeasurement, record.KindPin)
	if err != nil || written == nil {
		return nil, err
	}
	switch {
	case written.Line.Kind == record.KindMeasurement && p.Check != nil:
		for _, c := range p.Check.Conditions {
			written.Says = append(written.Says, c.Says...)
		}
	case written.Line.Kind == record.KindPin && p.Move != nil:
		// Where it stood before is a matter of show; nonsense there is no day.
		before, _ := dateIn(r.URL.Query().Get("before"))
		standing, err := f.Standing(p.Due.Task, before)
		if err != nil {
			return nil, err
		}
		written.Says = []string{standing.Says}
	}
	return written, nil
}

// taskPage puts a task's page together with an empty form.
func (h *handler) taskPage(f *day.Forecast, id string) (taskPage, error) {
	due, err := f.DueOf(id)
	if err != nil {
		return taskPage{}, err
	}
	all := f.Day.Tasks()
	i := slices.IndexFunc(all, func(t day.TaskInfo) bool { return t.Task == due.Task })
	if i < 0 {
		return taskPage{}, &record.UnknownError{What: "task", Name: due.Task}
	}
	p := taskPage{
		Due:      due,
		Info:     all[i],
		Licensed: due.Who.Booked(),
		ByTest:   slices.ContainsFunc(due.Gauges, func(g day.GaugeReading) bool { return g.Driver == care.ByWaterDoubt }),
		Form: serviceForm{
			Action:   "/tasks/" + due.Task + "/done",
			Token:    h.tokens.draw(),
			Date:     f.Day.Today.String(),
			Findings: findingChoices(due.Findings, ""),
			Scale:    slices.Contains(due.Findings, string(record.Bare)),
		},
	}
	if p.Check, err = h.checkSection(f, due.Task); err != nil {
		return taskPage{}, err
	}
	p.Move, err = h.moveSection(f, due.Task)
	return p, err
}

// findingChoices returns the findings of a task to choose from.
func findingChoices(findings []string, selected string) []choice {
	var all []choice
	for _, f := range findings {
		label := f
		if words, ok := findingWords[record.Finding(f)]; ok {
			label = f + ": " + words
		}
		all = append(all, choice{Value: f, Label: label, Selected: f == selected})
	}
	return all
}

// findingWords says what the findings mean to somebody with the part in hand.
var findingWords = map[record.Finding]string{
	record.Bare:   "no scale to be seen",
	record.Film:   "a film that wipes off or lets the metal show",
	record.Crust:  "a layer that hides the metal",
	record.Flakes: "loose pieces",
	record.Fresh:  "still as good as new",
	record.Worn:   "its time had come",
	record.Failed: "it leaked, clogged or broke",
}

// writeTask takes the forms of a task's page. Each goes to the task's address
// with a word behind it.
func (h *handler) writeTask(w http.ResponseWriter, r *http.Request) {
	id, word := "", r.PathValue("id")
	if i := strings.LastIndex(word, "/"); i >= 0 {
		id, word = word[:i], word[i+1:]
	}
	switch word {
	case "done":
		h.done(w, r, id)
	case "reading":
		h.takeReading(w, r, id)
	case "move":
		h.moveTask(w, r, id)
	default:
		w.Header().Set("Allow", "GET, HEAD")
		h.message(w, r, http.StatusMethodNotAllowed, "Not taken", "A form for a task goes to the task's address with done, reading or move behind it.")
	}
}

// done takes the form of a service.
func (h *handler) done(w http.ResponseWriter, r *http.Request, id string) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	service, on, wrong := readService(filled)
	service.Task = id
	if len(wrong) == 0 {
		written, err := h.tokens.once(tokenOf(filled), func() (int64, error) {
			w, err := h.Journal.Done(r.Context(), opened, on, service)
			return w.Record, err
		})
		switch {
		case err == nil:
			seeOther(w, r, "/", written)
			return
		case !mistake(err):
			h.fail(w, r, err)
			return
		}
		wrong.add(inputOf(err, "date", "finding", "grams", "note"), err)
	}
	f, err := opened.Forecast(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, err := h.taskPage(f, id)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p.Form.Token = h.tokens.again(filled)
	p.Form.Date, p.Form.Grams, p.Form.Note = filled.Get("date"), filled.Get("grams"), filled.Get("note")
	p.Form.Findings = findingChoices(p.Due.Findings, filled.Get("finding"))
	p.Form.Problems = wrong
	h.correctTask(w, r, opened, p, wrong)
}

// readService reads what was filled in; what cannot be read is a problem of its
// input. What can be taken of the rest is for the desk to say.
func readService(filled url.Values) (record.Service, record.Date, problems) {
	wrong := problems{}
	on, err := dateIn(filled.Get("date"))
	wrong.add("date", err)
	grams, err := numberIn("grams", filled.Get("grams"))
	wrong.add("grams", err)
	return record.Service{
		Finding: record.Finding(filled.Get("finding")),
		Grams:   grams,
		Note:    noteIn(filled.Get("note")),
	}, on, wrong
}

// inputOf names the input that an error is about, "" for none of those known.
func inputOf(err error, known ...string) string {
	var field *record.FieldError
	if errors.As(err, &field) && slices.Contains(known, field.Field) {
		return field.Field
	}
	return ""
}

// sentToTask returns a form that was sent to a task, and the task's page. Where it
// cannot, it answers the request itself, and gives false.
func (h *handler) sentToTask(w http.ResponseWriter, r *http.Request, id string) (url.Values, *day.Day, taskPage, bool) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return nil, nil, taskPage{}, false
	}
	f, err := opened.Forecast(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return nil, nil, taskPage{}, false
	}
	p, err := h.taskPage(f, id)
	if err != nil {
		h.fail(w, r, err)
	}
	return filled, opened, p, err == nil
}

// correctTask shows a task's page again, with what is wrong in one of its forms.
func (h *handler) correctTask(w http.ResponseWriter, r *http.Request, opened *day.Day, p taskPage, wrong problems) {
	p.Problems = wrong
	keepForm(w)
	h.show(w, r, http.StatusUnprocessableEntity, "task", page{Title: "Please correct: " + p.Due.Title, Place: opened.Info(), Body: p})
}
