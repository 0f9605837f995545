package web

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
)

// visitInForm writes a visit of a round as a form carries it.
func visitInForm(v round.VisitInfo) string {
	b := v.Booking()
	parts := []string{v.Place, b.On.String(), b.At, strconv.FormatFloat(b.Minutes, 'f', 0, 64)}
	for _, t := range b.Tasks {
		parts = append(parts, t.Task)
	}
	return strings.Join(parts, " ")
}

// visitOfForm reads it; false for what is none.
func visitOfForm(text string) (place string, v record.BookedVisit, ok bool) {
	parts := strings.Fields(text)
	if len(parts) < 5 {
		return "", v, false
	}
	on, err := record.ParseDate(parts[1])
	if err != nil {
		return "", v, false
	}
	minutes, err := strconv.ParseFloat(parts[3], 64)
	if err != nil {
		return "", v, false
	}
	v = record.BookedVisit{On: on, At: parts[2], Minutes: minutes}
	for _, task := range parts[4:] {
		v.Tasks = append(v.Tasks, record.BookedTask{Task: task})
	}
	return parts[0], v, true
}

// book books visits of the round: one, or those of a day.
func (h *roundPages) book(w http.ResponseWriter, r *http.Request) {
	ctx := r.Context()
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	settings, err := h.places.Round()
	if err != nil {
		h.fail(w, r, err)
		return
	}
	by := settings.Who
	if who := personOf(ctx); by == "" && who != nil {
		by = who.Name
	}
	var all []journal.Booking
	var writes *journal.Journal
	for _, text := range filled["visit"] {
		b, at, err := h.toBook(ctx, text, by)
		if err != nil {
			h.fail(w, r, err)
			return
		}
		if at != nil {
			all, writes = append(all, b), at.handler.journalOf(ctx) // whose place it is says the day
		}
	}
	if len(all) == 0 || len(all) != len(filled["visit"]) {
		h.message(w, r, http.StatusUnprocessableEntity, wording.NothingBooked, wording.NoVisitNamed)
		return
	}
	_, err = h.tokens.Once(r, form.TokenOf(filled), func() (int64, error) {
		written, err := writes.BookVisits(ctx, all)
		if err != nil {
			return 0, err
		}
		return written[len(written)-1].Record, nil
	})
	if err != nil {
		if blamable(err) {
			h.message(w, r, http.StatusUnprocessableEntity, wording.NothingBooked, err.Error())
			return
		}
		h.fail(w, r, err)
		return
	}
	query := url.Values{"from": {filled.Get("from")}, "weeks": {filled.Get("weeks")}, "booked": {strconv.Itoa(len(all))}}
	http.Redirect(w, r, roundPath+"?"+query.Encode(), http.StatusSeeOther)
}

// toBook opens the place of a visit in a form; nil where the form names none of those that
// who sends it may come to.
func (h *roundPages) toBook(ctx context.Context, text, by string) (journal.Booking, *placeAtWork, error) {
	place, visit, ok := visitOfForm(text)
	if !ok {
		return journal.Booking{}, nil, nil
	}
	list := h.places.seenBy(ctx)
	i := slices.IndexFunc(list, func(at *placeAtWork) bool { return at.id == place })
	if i < 0 {
		return journal.Booking{}, nil, nil
	}
	visit.By = by
	opened, err := list[i].handler.open(ctx)
	if err != nil {
		return journal.Booking{}, nil, err
	}
	forecast, err := list[i].handler.foreseeOn(ctx, opened)
	return journal.Booking{Day: opened, By: forecast, Visit: visit}, list[i], err
}

// withBooked returns the outlook of a place as it is with the visits that were booked
// since it was worked out.
func (w *placeAtWork) withBooked(ctx context.Context, o *day.Outlook) (day.Outlook, int64, error) {
	version, err := w.server.Days.Records.Version(ctx)
	if err != nil || version == o.Version {
		return *o, version, err
	}
	opened, err := w.handler.open(ctx)
	if err != nil {
		return *o, version, err
	}
	return o.WithBooked(opened), version, nil
}
