package web

import (
	"context"
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"sync"
	"time"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
)

// roundPages show the round of whoever looks after all places.
type roundPages struct {
	*handler
	places *places

	mu   sync.Mutex // one round is planned at a time
	last plannedRound
}

// plannedRound is a round with what it follows from.
type plannedRound struct {
	of    []*day.Outlook
	known []int64 // versions of the places, with what was booked since
	first record.Date
	weeks int
	at    time.Time
	round round.Round
}

// roundLasts is how long a round is shown that is asked for again: its file, and what is
// in the van, are read anew then (assumption).
const roundLasts = 5 * time.Second

func (h *roundPages) routes(mux *http.ServeMux) {
	if h.places.Round == nil || h.places.Van == nil {
		return
	}
	mux.HandleFunc("GET "+roundPath, h.page)
	mux.HandleFunc("GET "+roundPath+"/load", h.page)
	mux.HandleFunc("GET "+roundPath+".json", h.json)
	mux.HandleFunc("POST "+roundPath+"/book", h.book)
}

// roundPage is a round.
type roundPage struct {
	round.Round
	Form  form.Form
	Load  round.Load
	Query string // of the address, for the page beside this one
	None  bool   // no place was worked out yet
	Weeks int
	Just  int // visits that were booked a moment ago

	tokens *form.OnceTokens
}

// Token draws a token for a form.
func (p roundPage) Token() string { return p.tokens.Draw() }

// Carried writes a visit as a form carries it.
func (p roundPage) Carried(v round.VisitInfo) string { return visitInForm(v) }

// Proposed lists the visits of a day that are not booked.
func (p roundPage) Proposed(d round.DayInfo) []round.VisitInfo {
	return slices.DeleteFunc(slices.Clone(d.Visits), func(v round.VisitInfo) bool { return v.Booked != 0 })
}

// asked plans the round that a request asks for, from outlooks that are at hand.
func (h *roundPages) asked(ctx context.Context, first record.Date, weeks int) (round.Round, []string, error) {
	var of []*day.Outlook
	var outlooks []day.Outlook
	var waiting []string
	var known []int64
	for _, at := range h.places.seenBy(ctx) {
		o := at.outlook.Load()
		if o == nil {
			waiting = append(waiting, at.id)
			continue
		}
		booked, version, err := at.withBooked(ctx, o)
		if err != nil {
			return round.Round{}, nil, err
		}
		of, outlooks, known = append(of, o), append(outlooks, booked), append(known, version)
	}
	if len(outlooks) == 0 {
		return round.Round{}, waiting, nil
	}
	if first.IsZero() {
		first = round.NextMonday(outlooks[0].Today)
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.last.weeks == weeks && h.last.first == first && slices.Equal(h.last.of, of) && slices.Equal(h.last.known, known) && time.Since(h.last.at) < roundLasts {
		return h.last.round, waiting, nil
	}
	settings, err := h.places.Round()
	if err != nil {
		return round.Round{}, waiting, err
	}
	van, err := h.places.Van(ctx, outlooks)
	if err != nil {
		return round.Round{}, waiting, err
	}
	planned, err := settings.Plan(ctx, outlooks, first, weeks, van)
	if err != nil {
		return round.Round{}, waiting, err
	}
	h.last = plannedRound{of: of, known: known, first: first, weeks: weeks, at: time.Now(), round: planned}
	return planned, waiting, nil
}

// roundAskedFor reads from an address from when and for how many weeks a round is wanted.
func roundAskedFor(asked url.Values) (first record.Date, weeks int) {
	weeks, err := strconv.Atoi(asked.Get("weeks"))
	if err != nil || weeks < 1 || weeks > 4 {
		weeks = 1
	}
	if first, err = record.ParseDate(asked.Get("from")); err != nil {
		first = 0
	}
	return first, weeks
}

// json answers programs.
func (h *roundPages) json(w http.ResponseWriter, r *http.Request) {
	first, weeks := roundAskedFor(r.URL.Query())
	planned, waiting, err := h.asked(r.Context(), first, weeks)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	planned.Waiting = waiting
	w.Header().Set("Content-Type", "application/json")
	if err := json.NewEncoder(w).Encode(planned); err != nil {
		h.log.DebugContext(r.Context(), "an answer could not be sent", "error", err)
	}
}

func (h *roundPages) page(w http.ResponseWriter, r *http.Request) {
	first, weeks := roundAskedFor(r.URL.Query())
	planned, waiting, err := h.asked(r.Context(), first, weeks)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	planned.Waiting = waiting
	p := roundPage{tokens: h.tokens, Weeks: weeks, Round: planned, Load: planned.Load, None: planned.First.IsZero(), Form: form.Form{Action: r.URL.Path, Fields: []form.Field{
		{Name: "from", Label: wording.From, Kind: form.DateInput, Value: planned.First.String()},
		{Name: "weeks", Label: wording.Weeks, Kind: form.ChoiceInput, Value: strconv.Itoa(weeks), Choices: []form.Choice{{Value: "1", Label: wording.One}, {Value: "2", Label: wording.Two}, {Value: "3", Label: wording.Three}, {Value: "4", Label: wording.Four}}},
	}}}
	if q := r.URL.RawQuery; q != "" && !first.IsZero() {
		p.Query = "?from=" + first.String() + "&weeks=" + strconv.Itoa(weeks)
	}
	if n, err := strconv.Atoi(r.URL.Query().Get("booked")); err == nil && n > 0 && n < 100 {
		p.Just = n
	}
	name, title := "round", wording.Round
	if r.URL.Path == roundPath+"/load" {
		name, title = "load", wording.Load
	}
	h.showForm(w, r, http.StatusOK, name, page{Title: title, Here: r.URL.Path, Whole: true, Body: p})
}
