package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/picture"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/water/figure"
)

// taskPages are the pages of tasks, and take what their forms send.
type taskPages struct{ *handler }

func (h taskPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /tasks/{id...}", h.kept(h.task, nil))
	mux.HandleFunc("POST /tasks/{id...}", h.writeTask) // ends in /done, /reading, /move or /limit
}

// taskPage is one task: what can hurt, when it is due and why, how it is done,
// and the form to write it down.
type taskPage struct {
	Notice      *notice // what was just written down; nil for nothing
	Due         day.Due
	Info        day.TaskInfo
	PastUnknown bool          // nobody wrote down when it was last done before records began
	Licensed    bool          // booked with licensed people and never explained
	ByTest      bool          // a water test written down is this task done
	Form        form.Form     // of a task that is neither of these two
	Check       *checkSection // of a task that a reading does; nil for any other
	Move        *moveSection  // of a task that has sittings; nil for any other
	Limit       *limitSection // of a task with a limit that its owner may change; nil for any other
	Problems    form.Problems // of whichever form was sent
	Window      picture.Picture
	Courses     []picture.Picture // its gauges over time
	Services    []doneBefore      // the latest first
}

// doneBefore is a time at which a task was done.
type doneBefore struct {
	On     record.Date
	Record int64
	Says   string
	Note   string // that somebody typed
}

func (h taskPages) task(w http.ResponseWriter, r *http.Request) {
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
	h.askMove(r, f, &p)
	h.showForm(w, r, http.StatusOK, "task", page{Title: p.Due.Title, Place: f.Day.Info(), Body: p})
}

// taskNotice tells what a form of a task's page has just written down, and what
// follows from it: what the readings say, or what a move risks.
func (h taskPages) taskNotice(r *http.Request, f *day.Forecast, p taskPage) (*notice, error) {
	written, err := h.noticeOf(r, f.Day, record.KindMeasurement, record.KindPin, record.KindOwnCare)
	if err != nil || written == nil {
		return nil, err
	}
	if err := h.answerIn(r, f, written); err != nil {
		return nil, err
	}
	switch {
	case written.Line.Kind == record.KindMeasurement && p.Check != nil:
		for _, c := range p.Check.Conditions {
			written.Says = append(written.Says, c.Says...)
		}
	case written.Line.Kind == record.KindPin && answeringOf(r.Context()).older:
		// Where it stands now is not known yet.
	case written.Line.Kind == record.KindPin && p.Move != nil:
		// Where it stood before is a matter of show; nonsense there is no day.
		before, _ := form.DateIn(r.URL.Query().Get("before"))
		position, err := f.Positions().Of(p.Due.Task, before)
		if err != nil {
			return nil, err
		}
		written.Says = []string{position.Says}
	}
	return written, nil
}

// taskPage puts a task's page together with an empty form.
func (h taskPages) taskPage(f *day.Forecast, id string) (taskPage, error) {
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
		Form:     h.serviceForm(due.Task, f.Day.Today, due.Findings, nil),
	}
	for _, x := range f.Outcomes() {
		p.PastUnknown = p.PastUnknown || x.Duty.ID == due.Task && x.Past != nil
	}
	if err := p.look(f); err != nil {
		return taskPage{}, err
	}
	if p.Check, err = h.checkSection(f, due.Task); err != nil {
		return taskPage{}, err
	}
	if p.Limit, err = h.limitSection(f, due); err != nil {
		return taskPage{}, err
	}
	p.Move, err = h.moveSection(f, due.Task)
	return p, err
}

// look draws when the task falls due and how its gauges came there, and lists when it
// was done.
func (p *taskPage) look(f *day.Forecast) error {
	if p.Due.Rests == "" && p.Due.Early != nil {
		p.Window = windowPicture("window", f.Day.Today, p.Due)
	}
	courses, err := f.Courses(p.Due.Task)
	if err != nil {
		return err
	}
	for i, c := range courses {
		p.Courses = append(p.Courses, gaugePicture(fmt.Sprintf("gauge-%d", i), f.Day.Today, c))
	}
	duty, err := f.Day.Duty(p.Due.Task)
	if err != nil {
		return err
	}
	for _, s := range slices.Backward(day.ServicesOf(f.Day.Book, duty)) {
		says := wording.Done
		if s.Body.Finding != "" {
			says = wording.FoundIt(string(s.Body.Finding))
		}
		if s.Body.Grams > 0 {
			says = wording.GramsCameOff(says, figure.AtMost(s.Body.Grams, 1))
		}
		p.Services = append(p.Services, doneBefore{s.On, s.ID, says, say.OneLine(s.Body.Note)})
	}
	return nil
}

// writeTask takes the forms of a task's page. Each goes to the task's address
// with a word behind it.
func (h taskPages) writeTask(w http.ResponseWriter, r *http.Request) {
	id, word := "", r.PathValue("id")
	if i := strings.LastIndex(word, "/"); i >= 0 {
		id, word = word[:i], word[i+1:]
	}
	switch word {
	case "done":
		h.takeService(w, r, id)
	case "reading":
		h.takeReading(w, r, id)
	case "move":
		h.moveTask(w, r, id)
	case "limit":
		h.changeLimit(w, r, id)
	default:
		w.Header().Set("Allow", "GET, HEAD")
		h.message(w, r, http.StatusMethodNotAllowed, wording.NotTaken, wording.TaskFormsElsewhere)
	}
}

// sentToTask returns a form that was sent to a task, and the task's page. Where it
// cannot, it answers the request itself, and returns false.
func (h taskPages) sentToTask(w http.ResponseWriter, r *http.Request, id string) (url.Values, *day.Day, taskPage, bool) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return nil, nil, taskPage{}, false
	}
	f, err := h.foreseeOn(r.Context(), opened)
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
func (h taskPages) correctTask(w http.ResponseWriter, r *http.Request, opened *day.Day, p taskPage, wrong form.Problems) {
	p.Problems = wrong
	h.showForm(w, r, http.StatusUnprocessableEntity, "task", page{Title: wording.PleaseCorrect(p.Due.Title), Place: opened.Info(), Body: p})
}
