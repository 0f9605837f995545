package web

import (
	"net/http"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// What is written down of an item in the cupboard.
const (
	stockCount = "count"
	stockCame  = "came"
	stockLead  = "lead"
)

// blockForm keeps days free of sittings.
func (h planPages) blockForm(today record.Date) titledForm {
	return titledForm{"block", wording.KeepDaysFree, form.Form{Action: "/plan/block", Token: h.tokens.Draw(), Button: wording.KeepThemFree, Quiet: true, Fields: []form.Field{
		{Name: "block-from", Label: wording.FirstDay, Kind: form.DateInput, Required: true, Example: today.String(), About: []string{"from"}},
		{Name: "block-to", Label: wording.LastDay, Hint: wording.OpenForOneDay, Kind: form.DateInput, About: []string{"to"}},
		form.NoteField("block-note"),
	}}}
}

// stockForm says what is in the cupboard.
func (h planPages) stockForm(f *day.Forecast) titledForm {
	item := form.Field{Name: "stock-item", Label: wording.Item, Kind: form.ChoiceInput, About: []string{"item"}}
	for _, s := range f.Stock() {
		item.Choices = append(item.Choices, form.Choice{Value: s.Item, Label: s.Item})
	}
	return titledForm{"stock", wording.WhatIsInTheCupboard, form.Form{Action: "/plan/stock", Token: h.tokens.Draw(), Button: wording.WriteItDown, Quiet: true, Fields: []form.Field{
		item,
		stockWhat("stock-what"), stockNumber("stock-number"),
	}}}
}

// stockWhat asks what is said of an item, and stockNumber how many.
func stockWhat(name string) form.Field {
	return form.Field{Name: name, Label: wording.What, Kind: form.ChoiceInput, Value: stockCount, About: []string{"stock"}, Choices: []form.Choice{
		{Value: stockCount, Label: wording.SoManyAreThere}, {Value: stockCame, Label: wording.SoManyCame}, {Value: stockLead, Label: wording.SoManyDaysAnOrderTakes},
	}}
}

func stockNumber(name string) form.Field {
	return form.Field{Name: name, Label: wording.HowMany, Kind: form.NumberInput, Required: true, Example: "2", About: []string{"count", "days"}}
}

// stockSaid is what was filled in of an item.
func stockSaid(item, what string, n float64) record.Stock {
	said := record.Stock{Item: item}
	switch what {
	case stockCount:
		said.Count = &n
	case stockCame:
		said.Came = n
	case stockLead:
		said.LeadDays = &n
	}
	return said
}

// write takes the forms of the plan.
func (h planPages) write(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	ctx := r.Context()
	f, err := h.foresee(ctx)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := h.planPage(f, opened)
	var s *form.Form
	var write func() (journal.Receipt, error)
	switch r.PathValue("form") {
	case "block":
		s = &p.Block.Form
		s.Fill(filled)
		b := record.Blocked{From: s.Date("block-from"), To: s.Date("block-to"), Note: s.Text("block-note")}
		write = func() (journal.Receipt, error) { return h.journalOf(ctx).Block(ctx, opened, b) }
	case "stock":
		s = &p.Stock.Form
		s.Fill(filled)
		said := stockSaid(s.Text("stock-item"), s.Text("stock-what"), s.Number("stock-number"))
		write = func() (journal.Receipt, error) { return h.journalOf(ctx).SetStock(ctx, opened, said) }
	default:
		h.nothingHere(w, r)
		return
	}
	taken, err := h.takeOnce(w, r, s, filled, func() (int64, error) {
		written, err := write()
		return written.Record, err
	}, "/plan")
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		p.Problems = s.Problems()
		h.showForm(w, r, http.StatusUnprocessableEntity, "plan", page{Title: wording.PleaseCorrectPlan, Here: "/plan", Place: opened.Info(), Body: p})
	}
}
