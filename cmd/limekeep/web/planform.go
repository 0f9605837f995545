package web

import (
	"net/http"

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
	return titledForm{"block", "Keep days free", form{Action: "/plan/block", Token: h.tokens.draw(), Button: "Keep them free", Quiet: true, Fields: []field{
		{Name: "block-from", Label: "First day", Kind: dateInput, Required: true, Example: today.String(), About: []string{"from"}},
		{Name: "block-to", Label: "Last day", Hint: "open for one day", Kind: dateInput, About: []string{"to"}},
		noteField("block-note"),
	}}}
}

// stockForm says what is in the cupboard.
func (h planPages) stockForm(f *day.Forecast) titledForm {
	item := field{Name: "stock-item", Label: "Item", Kind: choiceInput, About: []string{"item"}}
	for _, s := range f.Stock() {
		item.Choices = append(item.Choices, choice{Value: s.Item, Label: s.Item})
	}
	return titledForm{"stock", "What is in the cupboard", form{Action: "/plan/stock", Token: h.tokens.draw(), Button: "Write it down", Quiet: true, Fields: []field{
		item,
		{Name: "stock-what", Label: "What", Kind: choiceInput, Value: stockCount, About: []string{"stock"}, Choices: []choice{
			{Value: stockCount, Label: "so many are there"}, {Value: stockCame, Label: "so many came"}, {Value: stockLead, Label: "so many days an order takes"},
		}},
		{Name: "stock-number", Label: "How many", Kind: numberInput, Required: true, Example: "2", About: []string{"count", "days"}},
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
	var s *form
	var write func() (journal.Receipt, error)
	switch r.PathValue("form") {
	case "block":
		s = &p.Block.form
		s.fill(filled)
		b := record.Blocked{From: s.date("block-from"), To: s.date("block-to"), Note: s.text("block-note")}
		write = func() (journal.Receipt, error) { return h.Journal.Block(ctx, opened, b) }
	case "stock":
		s = &p.Stock.form
		s.fill(filled)
		n := s.number("stock-number")
		said := record.Stock{Item: s.text("stock-item")}
		switch s.text("stock-what") {
		case stockCount:
			said.Count = &n
		case stockCame:
			said.Came = n
		case stockLead:
			said.LeadDays = &n
		}
		write = func() (journal.Receipt, error) { return h.Journal.SetStock(ctx, opened, said) }
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
