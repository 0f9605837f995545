package web

import (
	"cmp"
	"errors"
	"net/http"
	"net/url"
	"strconv"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// reportPages show the reports that were signed, on the screen and on paper.
type reportPages struct{ *handler }

const reportsPath = "/reports"

func (h reportPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+reportsPath+"/{record}", h.report)
	mux.HandleFunc("GET /print/visit/{record}", h.report)
}

func (h reportPages) report(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	id, err := strconv.ParseInt(r.PathValue("record"), 10, 64)
	if err != nil {
		h.nothingHere(w, r)
		return
	}
	report, err := advice.ReportSigned(r.Context(), opened, id)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.show(w, r, http.StatusOK, "signedreport", page{Title: wording.SignedReport, Here: "/equipment", Place: opened.Info(), Body: report})
}

// signForm signs the report of a sitting that is over.
func (h sittingPages) signForm(r *http.Request, s *begunSitting) form.Form {
	by := s.List.By
	if who := personOf(r.Context()); who != nil {
		by = cmp.Or(by, who.Name)
	}
	return form.Form{Action: sittingPath + "/" + s.ID + "/sign", Token: h.tokens.Draw(), Button: wording.SignIt, Fields: []form.Field{
		{Name: "by", Label: wording.WorkDoneBy, Kind: form.LineInput, Value: by, Required: true, Example: wording.AnnaExample, Most: 60, About: []string{"by"}},
		{Name: "signed-by", Label: wording.SignedBy, Kind: form.LineInput, Required: true, Example: wording.BergExample, Most: 100, About: []string{"signed-by"}},
		{Name: "note", Label: wording.RemarkOfSigner, Hint: wording.MayBeLeftOpen, Kind: form.NoteInput, About: []string{"note"}},
	}}
}

// signedAlready returns the record of the report that was signed of a sitting; 0 for none.
func signedAlready(opened *day.Day, sitting string) int64 {
	for _, r := range opened.Book.ServiceReports() {
		if r.Body.Sitting == sitting {
			return r.ID
		}
	}
	return 0
}

// sign keeps the report of a sitting that is over, signed by whom it was done for.
func (h sittingPages) sign(w http.ResponseWriter, r *http.Request, opened *day.Day, id string, filled url.Values) {
	ctx := r.Context()
	kept, err := h.change(ctx, opened, id, nil)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if signed := signedAlready(opened, id); signed != 0 {
		http.Redirect(w, r, reportsPath+"/"+strconv.FormatInt(signed, 10), http.StatusSeeOther)
		return
	}
	if !kept.List.Over() {
		h.message(w, r, http.StatusConflict, wording.NotOverYet, wording.EndItFirst)
		return
	}
	f, err := opened.Forecast(ctx) // the report says when each task comes again
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s := h.signForm(r, kept)
	s.Fill(filled)
	report, err := kept.List.Report(ctx, opened, f)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	report.Sitting, report.By, report.SignedBy, report.Note = id, s.Text("by"), s.Text("signed-by"), s.Text("note")
	if problems := s.Problems(); len(problems) > 0 {
		h.outcome(w, r, http.StatusUnprocessableEntity, opened, kept, &s)
		return
	}
	written, err := h.tokens.Once(r, form.TokenOf(filled), func() (int64, error) {
		written, err := h.journalOf(ctx).SignReport(ctx, opened, report)
		return written.Record, err
	})
	var wrong *record.FieldError
	switch {
	case errors.As(err, &wrong):
		s.Blame(err)
		h.outcome(w, r, http.StatusUnprocessableEntity, opened, kept, &s)
	case err != nil:
		h.fail(w, r, err)
	default:
		http.Redirect(w, r, reportsPath+"/"+strconv.FormatInt(written, 10), http.StatusSeeOther)
	}
}
