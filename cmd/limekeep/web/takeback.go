package web

import (
	"net/http"
	"strconv"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
)

// takeBackPage asks why a record is to be taken back.
type takeBackPage struct {
	Line day.HistoryLine
	Form form.Form
}

// askTakeBack shows the form that takes a record back. Nothing is written before
// it is sent.
func (h historyPages) askTakeBack(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, ok := h.takeBackPage(w, r, opened)
	if !ok {
		return
	}
	h.showForm(w, r, http.StatusOK, "takeback", page{Title: wording.TakeARecordBack, Here: "/history", Place: opened.Info(), Body: p})
}

// takeBackPage returns the page of the record in the address. Where that cannot be
// taken back it answers the request itself, and returns false.
func (h historyPages) takeBackPage(w http.ResponseWriter, r *http.Request, opened *day.Day) (takeBackPage, bool) {
	id, err := strconv.ParseInt(r.PathValue("record"), 10, 64)
	if err != nil {
		h.nothingHere(w, r)
		return takeBackPage{}, false
	}
	line, err := opened.HistoryLine(r.Context(), id)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case line == nil:
		h.message(w, r, http.StatusNotFound, wording.NotKnown, wording.NoSuchRecord)
	case line.Voided != 0:
		h.message(w, r, http.StatusConflict, wording.TakenBackAlready, wording.TakenBackBy(line.Voided))
	case !line.MayBeVoided():
		h.message(w, r, http.StatusConflict, wording.ThisStays, wording.ThisStaysBecause)
	default:
		return takeBackPage{Line: *line, Form: form.Form{
			Action: r.URL.Path, Token: h.tokens.Draw(), Button: wording.TakeRecordBack(id),
			Fields: []form.Field{{Name: "why", Label: wording.WhyItWasWrong, Hint: wording.MayBeLeftOpenHistoryKeepsIt, Kind: form.NoteInput, About: []string{"why"}}},
		}}, true
	}
	return takeBackPage{}, false
}

// takeBack takes the form that takes a record back.
func (h historyPages) takeBack(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	if written, ok := h.tokens.Record(r.Context(), form.TokenOf(filled)); ok { // it is void by now
		seeOther(w, r, "/history", written)
		return
	}
	p, ok := h.takeBackPage(w, r, opened)
	if !ok {
		return
	}
	p.Form.Fill(filled)
	taken, err := h.takeOnce(w, r, &p.Form, filled, func() (int64, error) {
		w, err := h.journalOf(r.Context()).Void(r.Context(), opened, p.Line.Record, p.Form.Text("why"))
		return w.Record, err
	}, "/history")
	switch {
	case err != nil:
		h.failVoid(w, r, opened, err)
	case !taken:
		h.showForm(w, r, http.StatusUnprocessableEntity, "takeback", page{Title: wording.PleaseCorrectTakeARecordBack, Here: "/history", Place: opened.Info(), Body: p})
	}
}

// failVoid answers for a record that could not be taken back. Where another did
// so in between, that is what it says.
func (h historyPages) failVoid(w http.ResponseWriter, r *http.Request, opened *day.Day, err error) {
	if _, still := h.takeBackPage(w, r, opened); still {
		h.fail(w, r, err)
	}
}
