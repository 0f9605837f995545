package web

import (
	"context"
	"net/http"
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
}

// roundPage is a round.
type roundPage struct {
	round.Round
	Form  form.Form
	Load  round.Load
	Query string // of the address, for the page beside this one
	None  bool   // no place was worked out yet
}

// asked plans the round that a request asks for, from outlooks that are at hand.
func (h *roundPages) asked(ctx context.Context, first record.Date, weeks int) (round.Round, []string, error) {
	var of []*day.Outlook
	var outlooks []day.Outlook
	var waiting []string
	for _, at := range h.places.seenBy(ctx) {
		o := at.outlook.Load()
		if o == nil {
			waiting = append(waiting, at.id)
			continue
		}
		of, outlooks = append(of, o), append(outlooks, *o)
	}
	if len(outlooks) == 0 {
		return round.Round{}, waiting, nil
	}
	if first.IsZero() {
		for first = outlooks[0].Today; first.In(time.UTC).Weekday() != time.Monday; {
			first++
		}
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.last.weeks == weeks && h.last.first == first && slices.Equal(h.last.of, of) && time.Since(h.last.at) < roundLasts {
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
	h.last = plannedRound{of: of, first: first, weeks: weeks, at: time.Now(), round: planned}
	return planned, waiting, nil
}

func (h *roundPages) page(w http.ResponseWriter, r *http.Request) {
	asked := r.URL.Query()
	weeks, err := strconv.Atoi(asked.Get("weeks"))
	if err != nil || weeks < 1 || weeks > 4 {
		weeks = 1
	}
	first, err := record.ParseDate(asked.Get("from"))
	if err != nil {
		first = 0
	}
	planned, waiting, err := h.asked(r.Context(), first, weeks)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	planned.Waiting = waiting
	p := roundPage{Round: planned, Load: planned.Load, None: planned.First.IsZero(), Form: form.Form{Action: r.URL.Path, Fields: []form.Field{
		{Name: "from", Label: wording.From, Kind: form.DateInput, Value: planned.First.String()},
		{Name: "weeks", Label: wording.Weeks, Kind: form.ChoiceInput, Value: strconv.Itoa(weeks), Choices: []form.Choice{{Value: "1", Label: wording.One}, {Value: "2", Label: wording.Two}, {Value: "3", Label: wording.Three}, {Value: "4", Label: wording.Four}}},
	}}}
	if q := r.URL.RawQuery; q != "" && !first.IsZero() {
		p.Query = "?from=" + first.String() + "&weeks=" + strconv.Itoa(weeks)
	}
	name, title := "round", wording.Round
	if r.URL.Path == roundPath+"/load" {
		name, title = "load", wording.Load
	}
	h.show(w, r, http.StatusOK, name, page{Title: title, Here: r.URL.Path, Whole: true, Body: p})
}
