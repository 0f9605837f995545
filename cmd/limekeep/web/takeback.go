package web

import (
	"net/http"
	"strconv"

	"limekeep/schedule/day"
)

// takeBackPage asks why a record is to be taken back.
type takeBackPage struct {
	Line  day.HistoryLine
	Sheet sheet
}

// askTakeBack shows the form that takes a record back. Nothing is written before
// it is sent.
func (d *door) askTakeBack(w http.ResponseWriter, r *http.Request) {
	opened, err := d.open(r.Context())
	if err != nil {
		d.fail(w, r, err)
		return
	}
	p, ok := d.takeBackPage(w, r, opened)
	if !ok {
		return
	}
	keepForm(w)
	d.show(w, r, http.StatusOK, "takeback", page{Title: "Take a record back", Here: "/history", Place: opened.Info(), Body: p})
}

// takeBackPage gives the page of the record in the address. Where that cannot be
// taken back it answers the request itself, and gives false.
func (d *door) takeBackPage(w http.ResponseWriter, r *http.Request, opened *day.Day) (takeBackPage, bool) {
	id, err := strconv.ParseInt(r.PathValue("record"), 10, 64)
	if err != nil {
		d.nothingHere(w, r)
		return takeBackPage{}, false
	}
	line, err := opened.HistoryLine(r.Context(), id)
	switch {
	case err != nil:
		d.fail(w, r, err)
	case line == nil:
		d.message(w, r, http.StatusNotFound, "Not known", "There is no such record at this place.")
	case line.Voided != 0:
		d.message(w, r, http.StatusConflict, "Taken back already", "Record "+strconv.FormatInt(line.Voided, 10)+" took this one back; nothing more was written.")
	case !line.MayBeVoided():
		d.message(w, r, http.StatusConflict, "This stays", "A record of this kind cannot be taken back here: what the place file says is put right there, and a plan that went out cannot be unsaid.")
	default:
		return takeBackPage{Line: *line, Sheet: sheet{
			Action: r.URL.Path, Ticket: d.taken.draw(), Button: "Take record " + strconv.FormatInt(id, 10) + " back", Problems: problems{},
			Fields: []field{{Name: "why", Label: "Why it was wrong", Hint: "may be left open; history keeps it", Kind: noteInput, About: []string{"why"}}},
		}}, true
	}
	return takeBackPage{}, false
}

// takeBack takes the form that takes a record back.
func (d *door) takeBack(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := d.sent(w, r)
	if !ok {
		return
	}
	if written, ok := d.taken.record(ticketOf(filled)); ok { // it is void by now
		seeOther(w, r, "/history", written)
		return
	}
	p, ok := d.takeBackPage(w, r, opened)
	if !ok {
		return
	}
	p.Sheet.fill(filled)
	written, err := d.taken.once(ticketOf(filled), func() (int64, error) {
		w, err := d.Journal.Void(r.Context(), opened, p.Line.Record, p.Sheet.text("why"))
		return w.Record, err
	})
	switch {
	case err == nil:
		seeOther(w, r, "/history", written)
	case blamable(err):
		p.Sheet.blame(err)
		keepForm(w)
		d.show(w, r, http.StatusUnprocessableEntity, "takeback", page{Title: "Please correct: take a record back", Here: "/history", Place: opened.Info(), Body: p})
	default:
		d.failVoid(w, r, opened, err)
	}
}

// failVoid answers for a record that could not be taken back. Where another did
// so in between, that is what it says.
func (d *door) failVoid(w http.ResponseWriter, r *http.Request, opened *day.Day, err error) {
	if _, still := d.takeBackPage(w, r, opened); still {
		d.fail(w, r, err)
	}
}
