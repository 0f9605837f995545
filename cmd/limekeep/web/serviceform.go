package web

import (
	"net/http"
	"net/url"
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// findingWords says what the findings mean to somebody with the part in hand.
var findingWords = map[record.Finding]string{
	record.Bare:   wording.BareFound,
	record.Film:   wording.FilmFound,
	record.Crust:  wording.CrustFound,
	record.Flakes: wording.FlakesFound,
	record.Fresh:  wording.FreshFound,
	record.Worn:   wording.WornFound,
	record.Failed: wording.FailedFound,
}

// serviceForm returns the form that records a service of a task which can record
// some findings. What was sent is filled in; nil for nothing. Where it speaks of
// what the task does not record, the form asks for that too, so that the journal
// can refuse it and nothing said is dropped.
func (h taskPages) serviceForm(task string, today record.Date, findings []string, sent url.Values) form.Form {
	s := form.Form{Action: "/tasks/" + task + "/done", Token: h.tokens.Draw(), Button: wording.WriteItDown}
	s.Fields = append(s.Fields, form.Field{Name: "date", Label: wording.DayItWasDone, Kind: form.DateInput, Value: today.String(), Asked: true, About: []string{"date"}})
	if len(findings) > 0 || sent.Get("finding") != "" {
		s.Fields = append(s.Fields, findingField(findings))
	}
	if slices.Contains(findings, string(record.Bare)) || sent.Get("grams") != "" {
		s.Fields = append(s.Fields, form.Field{Name: "grams", Label: wording.ScaleThatCameOffGrams, Hint: wording.ScaleGramsHint, Kind: form.NumberInput, About: []string{"grams"}})
	}
	s.Fields = append(s.Fields, form.NoteField("note"))
	if sent != nil {
		s.Fill(sent)
	}
	return s
}

// findingField asks for one of the findings of a task.
func findingField(findings []string) form.Field {
	f := form.Field{
		Name: "finding", Label: wording.WhatYouFound, Hint: wording.WhatYouFoundHint,
		Kind: form.ChoiceInput, Choices: []form.Choice{{Label: wording.NotLookedAt}}, About: []string{"finding"},
	}
	for _, finding := range findings {
		label := finding
		if words, ok := findingWords[record.Finding(finding)]; ok {
			label = finding + ": " + words
		}
		f.Choices = append(f.Choices, form.Choice{Value: finding, Label: label})
	}
	return f
}

// takeService takes the form of a service.
func (h taskPages) takeService(w http.ResponseWriter, r *http.Request, id string) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	var findings []string
	all := opened.Tasks()
	if i := slices.IndexFunc(all, func(t day.TaskInfo) bool { return t.Task == id }); i >= 0 {
		findings = all[i].Findings
	}
	s := h.serviceForm(id, opened.Today, findings, filled)
	service := record.Service{Task: id, Finding: record.Finding(s.Text("finding")), Grams: s.Number("grams"), Note: s.Text("note")}
	on := s.Date("date")
	taken, err := h.takeOnce(w, r, &s, filled, func() (int64, error) {
		w, err := h.journalOf(r.Context()).Done(r.Context(), opened, on, service)
		return w.Record, err
	}, "/")
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if taken {
		return
	}
	f, err := h.foreseeOn(r.Context(), opened)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, err := h.taskPage(f, id)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p.Form = s
	h.correctTask(w, r, opened, p, s.Problems())
}
