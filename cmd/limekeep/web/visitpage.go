package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// visitPages show the visits that were booked at a place, book them, move and withdraw
// them, and the reports that were signed.
type visitPages struct{ *handler }

const visitsPath = "/visits"

func (h visitPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+visitsPath, h.all)
	mux.HandleFunc("POST "+visitsPath, h.book)
	mux.HandleFunc("GET "+visitsPath+"/{record}", h.visit)
	mux.HandleFunc("POST "+visitsPath+"/{record}/{word}", h.change)
}

// visitsPage is all visits of a place.
type visitsPage struct {
	Booked   []day.BookedInfo
	Reports  []advice.SignedReport
	Book     form.Form
	Skilled  bool // who looks may book
	Notice   *notice
	Problems form.Problems
}

// bookAhead is within how many days a task must be likely due to be offered for a visit.
// Assumption: a quarter, as a workshop comes.
const bookAhead = 92

// bookForm books a visit: what somebody else does, or is due soon, can be ticked.
func (h visitPages) bookForm(f *day.Forecast, opened *day.Day, by string) form.Form {
	s := form.Form{Action: visitsPath, Token: h.tokens.Draw(), Button: wording.BookIt, Fields: []form.Field{
		{Name: "day", Label: wording.Day, Kind: form.DateInput, Required: true, Example: opened.Today.String(), About: []string{"date"}},
		{Name: "at", Label: wording.Arriving, Kind: form.TimeInput, Value: "09:00", Required: true, About: []string{"at"}},
		{Name: "minutes", Label: wording.MinutesThere, Kind: form.NumberInput, Value: "60", Required: true, Example: "60", About: []string{"minutes"}},
		{Name: "by", Label: wording.WhoComes, Hint: wording.MayBeLeftOpen, Kind: form.LineInput, Value: by, Most: 60, About: []string{"by"}},
	}}
	what := form.Field{Name: "what", Label: wording.WhatIsDone, Kind: form.SectionInput, About: []string{"task", "tasks"}}
	booked := map[string]bool{}
	for _, b := range opened.BookedVisits() {
		for _, id := range b.Tasks() {
			booked[id] = booked[id] || !b.Missed
		}
	}
	for _, d := range f.Due() {
		if d.Routine || d.OnItsDay || booked[d.Task] || d.Likely == nil || *d.Likely > opened.Today+bookAhead {
			continue
		}
		what.Row = append(what.Row, form.Field{Name: "do:" + d.Task, Label: d.Title, Hint: d.Name, Kind: form.BoxInput, About: []string{d.Task}})
	}
	s.Fields = append(s.Fields, what, form.NoteField("note"))
	return s
}

func (h visitPages) all(w http.ResponseWriter, r *http.Request) {
	f, opened, ok := h.both(w, r)
	if !ok {
		return
	}
	p, err := h.page(r, f, opened)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if p.Notice, err = h.noticeOf(r, opened, record.KindVoid, record.KindBookedVisit); err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusOK, "visits", page{Title: wording.Visits, Here: "/plan", Place: opened.Info(), Body: p})
}

func (h visitPages) page(r *http.Request, f *day.Forecast, opened *day.Day) (visitsPage, error) {
	by := ""
	if who := personOf(r.Context()); who != nil {
		by = who.Name
	}
	p := visitsPage{Booked: f.Visits().On(opened), Book: h.bookForm(f, opened, by), Skilled: skilledOne(r)}
	var err error
	p.Reports, err = advice.ReportsSigned(r.Context(), opened)
	return p, err
}

// skilledOne reports whether who sends a request may book, move and sign.
func skilledOne(r *http.Request) bool {
	return role(r.Context()) == roles.Owner || role(r.Context()) == roles.Technician
}

// both returns the forecast at hand and the day with all that was written down; false where
// the request was answered.
func (h *handler) both(w http.ResponseWriter, r *http.Request) (*day.Forecast, *day.Day, bool) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return nil, nil, false
	}
	f, err := h.foreseeOn(r.Context(), opened)
	if err != nil {
		h.fail(w, r, err)
		return nil, nil, false
	}
	return f, opened, true
}

func (h visitPages) book(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	f, err := h.foreseeOn(r.Context(), opened)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, err := h.page(r, f, opened)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s := &p.Book
	s.Fill(filled)
	v := record.BookedVisit{On: s.Date("day"), At: s.Text("at"), Minutes: s.Number("minutes"), By: s.Text("by"), Note: s.Text("note")}
	for field := range s.Inputs() {
		if task, ok := strings.CutPrefix(field.Name, "do:"); ok && field.Value == "yes" {
			v.Tasks = append(v.Tasks, record.BookedTask{Task: task})
		}
	}
	if len(v.Tasks) == 0 {
		s.Wrong("", &record.FieldError{Field: "tasks", Want: wording.ChooseATask})
	}
	taken, err := h.takeOnce(w, r, s, filled, func() (int64, error) {
		written, err := h.journalOf(r.Context()).BookVisit(r.Context(), opened, f, v)
		return written.Record, err
	}, visitsPath)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		p.Problems = s.Problems()
		h.showForm(w, r, http.StatusUnprocessableEntity, "visits", page{Title: wording.Visits, Here: "/plan", Place: opened.Info(), Body: p})
	}
}

// visitPage is one visit.
type visitPage struct {
	Visit    day.BookedInfo
	Sitting  *day.SittingInfo // nil where nothing of it needs doing
	Begins   bool             // it can be begun from here
	Notice   *notice
	Skilled  bool
	Problems form.Problems
	Ask      form.Form // another day
	If       *visitAsked
	Left     day.VisitRisk // if nobody came for four weeks
	Withdraw form.Form
	Token    string // of the form that begins it
}

// visitAsked is what another day would risk, with what moves the visit there.
type visitAsked struct {
	day.VisitRisk
	Move form.Form
}

func (h visitPages) visit(w http.ResponseWriter, r *http.Request) {
	f, opened, ok := h.both(w, r)
	if !ok {
		return
	}
	p, ok := h.onePage(w, r, f, opened)
	if !ok {
		return
	}
	var err error
	if p.Notice, err = h.noticeOf(r, opened, record.KindBookedVisit); err != nil {
		h.fail(w, r, err)
		return
	}
	if asked := r.URL.Query(); asked.Get("day") != "" || asked.Get("at") != "" {
		p.Ask.Fill(asked)
		h.ask(f, p)
	}
	h.showVisit(w, r, http.StatusOK, opened, p)
}

func (h visitPages) showVisit(w http.ResponseWriter, r *http.Request, status int, opened *day.Day, p *visitPage) {
	h.showForm(w, r, status, "visit", page{Title: wording.Visit, Here: "/plan", Place: opened.Info(), Body: p})
}

// ask tells what the day in the form would risk; nothing is moved by it.
func (h visitPages) ask(f *day.Forecast, p *visitPage) {
	to, at := p.Ask.Date("day"), p.Ask.Text("at")
	minutes := p.Ask.Number("minutes")
	if len(p.Ask.Problems()) > 0 {
		p.Problems = p.Ask.Problems()
		return
	}
	risk, err := f.Visits().IfMoved(p.Visit, to)
	if err != nil {
		p.Ask.Blame(err)
		p.Problems = p.Ask.Problems()
		return
	}
	path := visitsPath + "/" + strconv.FormatInt(p.Visit.Record, 10)
	p.If = &visitAsked{risk, form.Form{Action: path + "/move", Token: h.tokens.Draw(), Button: wording.MoveItTo(to.Long(), at), Fields: []form.Field{
		{Name: "move-day", Kind: form.FixedInput, Value: to.String(), About: []string{"date"}},
		{Name: "move-at", Kind: form.FixedInput, Value: at, About: []string{"at"}},
		{Name: "move-minutes", Kind: form.FixedInput, Value: strconv.FormatFloat(minutes, 'f', -1, 64), About: []string{"minutes"}},
	}}}
}

// onePage gathers the page of the visit in the address; false where the request was
// answered.
func (h visitPages) onePage(w http.ResponseWriter, r *http.Request, f *day.Forecast, opened *day.Day) (*visitPage, bool) {
	id, err := strconv.ParseInt(r.PathValue("record"), 10, 64)
	if err != nil {
		h.nothingHere(w, r)
		return nil, false
	}
	booked := f.Visits().On(opened)
	i := slices.IndexFunc(booked, func(b day.BookedInfo) bool { return b.Record == id })
	if i < 0 {
		h.message(w, r, http.StatusNotFound, wording.Moved, wording.NoSuchVisit)
		return nil, false
	}
	v := booked[i]
	path := visitsPath + "/" + strconv.FormatInt(id, 10)
	p := &visitPage{Visit: v, Skilled: skilledOne(r), Begins: h.Sittings != nil && skilledOne(r), Token: h.tokens.Draw()}
	p.Ask = form.Form{Action: path + "#move", Button: wording.WhatWouldThatRisk, Quiet: true, Asks: true, Fields: []form.Field{
		{Name: "day", Label: wording.Day, Kind: form.DateInput, Value: v.On.String(), Required: true, Example: opened.Today.String(), About: []string{"date"}},
		{Name: "at", Label: wording.Arriving, Kind: form.TimeInput, Value: v.At, Required: true, About: []string{"at"}},
		{Name: "minutes", Label: wording.MinutesThere, Kind: form.NumberInput, Value: strconv.FormatFloat(v.Minutes, 'f', 0, 64), Required: true, Example: "60", About: []string{"minutes"}},
	}}
	p.Withdraw = form.Form{Action: path + "/withdraw", Token: h.tokens.Draw(), Button: wording.WithdrawTheVisit, Quiet: true, Fields: []form.Field{
		{Name: "why", Label: wording.WhyWithdrawn, Hint: wording.MayBeLeftOpen, Kind: form.LineInput, Most: 200, About: []string{"why"}},
	}}
	if p.Left, err = f.Visits().IfWithdrawn(v); err != nil {
		var far *record.FieldError // of a visit so far ahead that nothing is said of later
		if !errors.As(err, &far) {
			h.fail(w, r, err)
			return nil, false
		}
	}
	if s, ok := f.Visits().Sitting(v, 0); ok {
		p.Sitting = &s
	}
	return p, true
}

// change moves a visit, or withdraws it.
func (h visitPages) change(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	ctx := r.Context()
	f, err := h.foreseeOn(ctx, opened)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, ok := h.onePage(w, r, f, opened)
	if !ok {
		return
	}
	var taken bool
	var s *form.Form
	switch r.PathValue("word") {
	case "move":
		s = &p.Ask
		s.Token = ""
		s.Fill(filled)
		for _, name := range []string{"day", "at", "minutes"} {
			s.Find(name).Value = cmp.Or(filled.Get("move-"+name), filled.Get(name))
		}
		to := record.BookedVisit{On: s.Date("day"), At: s.Text("at"), Minutes: s.Number("minutes")}
		taken, err = h.takeOnce(w, r, s, filled, func() (int64, error) {
			written, err := h.journalOf(ctx).MoveVisit(ctx, opened, f, p.Visit.Record, to)
			return written.Record, err
		}, visitsPath)
	case "withdraw":
		s = &p.Withdraw
		s.Fill(filled)
		taken, err = h.takeOnce(w, r, s, filled, func() (int64, error) {
			written, err := h.journalOf(ctx).WithdrawVisit(ctx, opened, p.Visit.Record, s.Text("why"))
			return written.Record, err
		}, visitsPath)
	default:
		h.nothingHere(w, r)
		return
	}
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		p.Problems = s.Problems()
		h.showVisit(w, r, http.StatusUnprocessableEntity, opened, p)
	}
}
