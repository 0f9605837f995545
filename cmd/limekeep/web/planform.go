package web

import (
	"net/http"

	"limekeep/cmd/limekeep/web/form"
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
	return titledForm{"block", "Keep days free", form.Form{Action: "/plan/block", Token: h.tokens.Draw(), Button: "Keep them free", Quiet: true, Fields: []form.Field{
		{Name: "block-from", Label: "First day", Kind: form.DateInput, Required: true, Example: today.String(), About: []string{"from"}},
		{Name: "block-to", Label: "Last day", Hint: "open for one day", Kind: form.DateInput, About: []string{"to"}},
		form.NoteField("block-note"),
	}}}
}

// stockForm says what is in the cupboard.
func (h planPages) stockForm(f *day.Forecast) titledForm {
	item := form.Field{Name: "stock-item", Label: "Item", Kind: form.ChoiceInput, About: []string{"item"}}
	for _, s := range f.Stock() {
		item.Choices = append(item.Choices, form.Choice{Value: s.Item, Label: s.Item})
	}
	return titledForm{"stock", "What is in the cupboard", form.Form{Action: "/plan/stock", Token: h.tokens.Draw(), Button: "Write it down", Quiet: true, Fields: []form.Field{
		item,
		{Name: "stock-what", Label: "What", Kind: form.ChoiceInput, Value: stockCount, About: []string{"stock"}, Choices: []form.Choice{
			{Value: stockCount, Label: "so many are there"}, {Value: stockCame, Label: "so many came"}, {Value: stockLead, Label: "so many days an order takes"},
		}},
		{Name: "stock-number", Label: "How many", Kind: form.NumberInput, Required: true, Example: "2", About: []string{"count", "days"}},
	}}}
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
		n := s.Number("stock-number")
		said := record.Stock{Item: s.Text("stock-item")}
		switch s.Text("stock-what") {
		case stockCount:
			said.Count = &n
		case stockCame:
			said.Came = n
		case stockLead:
			said.LeadDays = &n
		}
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
		h.showForm(w, r, http.StatusUnprocessableEntity, "plan", page{Title: "Please correct: plan", Here: "/plan", Place: opened.Info(), Body: p})
	}
}
