package web

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/checklist"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// sittingPages lead through a sitting that was begun.
type sittingPages struct{ *handler }

const sittingPath = "/sitting"

func (h sittingPages) routes(mux *http.ServeMux) {
	if h.Sittings == nil {
		return
	}
	mux.HandleFunc("POST "+sittingPath, h.begin)
	mux.HandleFunc("GET "+sittingPath+"/{id}", h.sitting)
	mux.HandleFunc("POST "+sittingPath+"/{id}/{word}", h.act)
}

// begunSitting is a sitting with its checklist.
type begunSitting struct {
	schedule.BegunSitting
	List checklist.Checklist
}

// underWay returns the sitting that goes on; nil where none does.
func (h *handler) underWay(ctx context.Context, place string) (*begunSitting, error) {
	if h.Sittings == nil {
		return nil, nil
	}
	all, err := h.Sittings.BegunSittings(ctx, place, 1)
	if err != nil || len(all) == 0 || all[0].Over {
		return nil, err
	}
	return readSitting(all[0])
}

func readSitting(kept schedule.BegunSitting) (*begunSitting, error) {
	s := &begunSitting{BegunSitting: kept}
	return s, json.Unmarshal(kept.Checklist, &s.List)
}

// begin begins the sitting of the plan that starts at an instant, or the next one. A
// sitting that goes on is gone on with instead.
func (h sittingPages) begin(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	ctx := r.Context()
	going, err := h.underWay(ctx, opened.Place.ID)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if going != nil {
		http.Redirect(w, r, sittingPath+"/"+going.ID, http.StatusSeeOther)
		return
	}
	f, err := opened.Forecast(ctx)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	now := h.Days.Now().UTC().Truncate(time.Second)
	visit := visitAskedFor(opened, filled)
	if visit.Record != 0 {
		filled["task"] = visit.Tasks()
	}
	planned, ok := sittingAsked(f, filled, now)
	if !ok {
		h.message(w, r, http.StatusConflict, wording.NotInThePlan, wording.NoSuchSittingAnyMore)
		return
	}
	s := begunSitting{
		BegunSitting: schedule.BegunSitting{ID: strings.ToLower(rand.Text()[:12]), Begun: now},
		List:         checklist.Begin(f, planned, func(task string) []string { return advice.DosesOf(f, task) }, now),
	}
	s.List.Visit, s.List.By = visit.Record, visit.By
	if who := personOf(ctx); who != nil {
		s.List.By = who.Name
	}
	if err := h.keep(ctx, opened.Place.ID, &s); err != nil && !errors.Is(err, schedule.ErrOtherVersion) {
		h.fail(w, r, err)
		return
	} else if err != nil { // somebody else began one in between
		if going, err = h.underWay(ctx, opened.Place.ID); err != nil || going == nil {
			h.fail(w, r, errors.Join(err, schedule.ErrOtherVersion))
			return
		}
		s.ID = going.ID
	}
	http.Redirect(w, r, sittingPath+"/"+s.ID, http.StatusSeeOther)
}

// visitAskedFor returns the booked visit that a form names; none where it names none that
// is there.
func visitAskedFor(opened *day.Day, filled url.Values) day.BookedInfo {
	id, err := strconv.ParseInt(filled.Get("visit"), 10, 64)
	if err != nil {
		return day.BookedInfo{}
	}
	visit, err := opened.BookedVisit(id)
	if err != nil {
		return day.BookedInfo{}
	}
	return visit
}

// sittingAsked returns the sitting that a form names: by the tasks of a visit, or by when
// the plan has it begin.
func sittingAsked(f *day.Forecast, filled url.Values, now time.Time) (day.SittingInfo, bool) {
	if tasks := filled["task"]; len(tasks) > 0 {
		s, err := f.Visits().SittingOf(tasks, now)
		return s, err == nil
	}
	planned := f.Plan().Sittings
	i := slices.IndexFunc(planned, func(s day.SittingInfo) bool { return s.Start.Format(time.RFC3339) == filled.Get("start") })
	if i < 0 {
		return day.SittingInfo{}, false
	}
	return planned[i], true
}

// keep keeps how far a sitting got.
func (h sittingPages) keep(ctx context.Context, place string, s *begunSitting) error {
	list, err := json.Marshal(s.List)
	if err != nil {
		return err
	}
	s.Checklist, s.Over = list, s.List.Over()
	return h.Sittings.KeepSitting(ctx, place, s.BegunSitting)
}

// mostTries is how often a change of a checklist is tried that another overtook.
const mostTries = 4

// change changes a checklist and keeps it. Where another change came in between it is
// made again on top of that.
func (h sittingPages) change(ctx context.Context, opened *day.Day, id string, change func(*checklist.Checklist, time.Time) error) (*begunSitting, error) {
	var last error
	for range mostTries {
		kept, err := h.Sittings.BegunSitting(ctx, opened.Place.ID, id)
		if err != nil {
			return nil, err
		}
		s, err := readSitting(kept)
		if err != nil {
			return nil, err
		}
		now := h.Days.Now().UTC().Truncate(time.Second)
		s.List.Follow(servicesIn(opened), now)
		if change != nil {
			if err := change(&s.List, now); err != nil {
				return s, err
			}
		}
		if list, err := json.Marshal(s.List); err != nil || string(list) == string(kept.Checklist) {
			return s, err
		}
		if last = h.keep(ctx, opened.Place.ID, s); last == nil {
			return s, nil
		}
		if !errors.Is(last, schedule.ErrOtherVersion) {
			return s, last
		}
	}
	return nil, last
}

// servicesIn says which records say that a task was done.
func servicesIn(opened *day.Day) func(task string) []int64 {
	return func(task string) []int64 {
		duty, err := opened.Duty(task)
		if err != nil {
			return nil
		}
		var ids []int64
		for _, s := range day.ServicesOf(opened.Book, duty) {
			ids = append(ids, s.ID)
		}
		return ids
	}
}

// sitting shows a sitting: its checklist, or what came of it once it is over.
func (h sittingPages) sitting(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s, err := h.change(r.Context(), opened, r.PathValue("id"), nil)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case s.List.Over():
		h.showOutcome(w, r, opened, s)
	default:
		h.showChecklist(w, r, http.StatusOK, opened, s, nil)
	}
}

// act takes what is done with an item of a checklist, or with the whole of it.
func (h sittingPages) act(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	id, word := r.PathValue("id"), r.PathValue("word")
	item, err := strconv.Atoi(filled.Get("item"))
	if word == "sign" {
		h.sign(w, r, opened, id, filled)
		return
	}
	if err != nil && word != "end" {
		h.nothingHere(w, r)
		return
	}
	var change func(*checklist.Checklist, time.Time) error
	switch word {
	case "tick":
		change = func(c *checklist.Checklist, now time.Time) error { return c.Tick(item, now) }
	case "start":
		change = func(c *checklist.Checklist, now time.Time) error { return c.Start(item, now) }
	case "leave":
		change = func(c *checklist.Checklist, _ time.Time) error { return c.Leave(item) }
	case "reopen":
		change = func(c *checklist.Checklist, _ time.Time) error { return c.Reopen(item) }
	case "end":
		change = func(c *checklist.Checklist, now time.Time) error { c.End(now); return nil }
	case "done":
		h.writeItem(w, r, opened, id, item, filled)
		return
	default:
		h.nothingHere(w, r)
		return
	}
	s, err := h.change(r.Context(), opened, id, change)
	if err != nil {
		h.failSitting(w, r, opened, s, err)
		return
	}
	to := sittingPath + "/" + id
	if word != "end" {
		to += "#now"
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}

// failSitting answers for what could not be done with a checklist.
func (h sittingPages) failSitting(w http.ResponseWriter, r *http.Request, opened *day.Day, s *begunSitting, err error) {
	var unsafe *checklist.NotSafeError
	var out *checklist.OutOfRangeError
	if s != nil && !s.List.Over() && (errors.As(err, &unsafe) || errors.As(err, &out)) {
		h.showChecklist(w, r, http.StatusConflict, opened, s, &itemProblem{Text: err.Error()})
		return
	}
	if errors.As(err, &out) || errors.Is(err, schedule.ErrOtherVersion) {
		h.message(w, r, http.StatusConflict, wording.NotTaken, wording.SittingHasChanged)
		return
	}
	h.fail(w, r, err)
}

// itemProblem is what was wrong with what was sent for an item; of none where its form
// is nil.
type itemProblem struct {
	Item int
	Text string
	Form *form.Form
}

// writeItem writes down that the task of an item was done, or what its check read.
func (h sittingPages) writeItem(w http.ResponseWriter, r *http.Request, opened *day.Day, id string, item int, filled url.Values) {
	ctx := r.Context()
	s, err := h.change(ctx, opened, id, nil)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if item < 0 || item >= len(s.List.Items) || !s.List.Items[item].Last || s.List.Over() {
		h.failSitting(w, r, opened, s, &checklist.OutOfRangeError{Item: item})
		return
	}
	x := s.List.Items[item]
	if len(s.List.Unsafe(item)) > 0 {
		h.failSitting(w, r, opened, s, &checklist.NotSafeError{Item: x.Says})
		return
	}
	if x.Record != 0 { // sent again, or written down elsewhere
		http.Redirect(w, r, sittingPath+"/"+id+"#now", http.StatusSeeOther)
		return
	}
	write, problem, err := h.itemWriter(ctx, opened, item, x, filled)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if problem != nil {
		h.showChecklist(w, r, http.StatusUnprocessableEntity, opened, s, problem)
		return
	}
	written, err := h.tokens.Once(r, form.TokenOf(filled), write)
	if err != nil {
		if blamable(err) {
			h.showChecklist(w, r, http.StatusUnprocessableEntity, opened, s, &itemProblem{Item: item, Text: err.Error()})
			return
		}
		h.fail(w, r, err)
		return
	}
	if _, err := h.change(ctx, opened, id, func(c *checklist.Checklist, now time.Time) error { return c.Written(item, written, now) }); err != nil {
		h.fail(w, r, err)
		return
	}
	http.Redirect(w, r, sittingPath+"/"+id+"#now", http.StatusSeeOther)
}

// itemWriter returns what writes an item down, or what is wrong with what was sent.
func (h sittingPages) itemWriter(ctx context.Context, opened *day.Day, item int, x checklist.Item, filled url.Values) (func() (int64, error), *itemProblem, error) {
	check, err := opened.Check(x.Task)
	if err != nil {
		return nil, nil, err
	}
	if check != nil {
		s := h.itemCheckForm(*check, opened, item)
		s.Fill(filled)
		m := record.Measurement{Part: s.Text("part"), Note: s.Text("note")}
		for _, f := range measuredFigures[check.Kind] {
			*f.of(&m) = s.Number(f.field.Name)
		}
		if problems := s.Problems(); len(problems) > 0 {
			return nil, &itemProblem{Item: item, Text: firstOf(problems), Form: &s}, nil
		}
		return func() (int64, error) {
			w, err := h.journalOf(ctx).MeasureTask(ctx, opened, opened.Today, x.Task, m)
			return w.Record, err
		}, nil, nil
	}
	grams, err := form.NumberIn(wording.ScaleThatCameOff, filled.Get("grams"))
	if err != nil {
		return nil, &itemProblem{Item: item, Text: err.Error()}, nil //nolint:nilerr // it is shown
	}
	service := record.Service{Task: x.Task, Finding: record.Finding(filled.Get("finding")), Grams: grams, Note: form.NoteIn(filled.Get("note"))}
	return func() (int64, error) {
		w, err := h.journalOf(ctx).Done(ctx, opened, opened.Today, service)
		return w.Record, err
	}, nil, nil
}

// firstOf returns one of the problems, always the same.
func firstOf(all form.Problems) string {
	texts := make([]string, 0, len(all))
	for _, text := range all {
		texts = append(texts, text)
	}
	slices.Sort(texts)
	return texts[0]
}

// itemCheckForm asks for the figures of a check in a checklist: of today.
func (h sittingPages) itemCheckForm(check day.Check, opened *day.Day, item int) form.Form {
	s := taskPages(h).checkForm(check, opened)
	s.Action, s.Button = "", wording.WriteTheReadingDown
	s.Fields = slices.DeleteFunc(s.Fields, func(f form.Field) bool { return f.Name == "date" })
	s.Fields = append(s.Fields, form.Field{Name: "item", Kind: form.FixedInput, Value: strconv.Itoa(item)})
	return s
}
