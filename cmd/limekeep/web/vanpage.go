package web

import (
	"cmp"
	"context"
	"net/http"
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
)

// vanPages show what is in the van and what every place has to order, and take down what
// was counted.
type vanPages struct {
	*handler
	places *places
}

const vanPath = "/van"

func (h *vanPages) routes(mux *http.ServeMux) {
	if h.places.Van == nil || h.places.SetVan == nil {
		return
	}
	mux.HandleFunc("GET "+vanPath, h.van)
	mux.HandleFunc("POST "+vanPath, h.write)
}

// vanPage is what is in the van, and what is to be ordered.
type vanPage struct {
	Counted   []round.VanItem
	Uncounted int
	Form      form.Form
	Problems  form.Problems
	Written   string // what was written down a moment ago; empty for nothing
	Orders    []placeOrder
}

// lists reports whether the form offers an item.
func (p *vanPage) lists(item string) bool {
	return slices.ContainsFunc(p.Form.Fields[0].Choices, func(c form.Choice) bool { return c.Value == item })
}

// placeOrder is something that a place has to order.
type placeOrder struct {
	Place, Name string
	day.OrderInfo
}

// page gathers what there is to know, of the places that who sends a request may come to.
func (h *vanPages) page(ctx context.Context) (*vanPage, error) {
	var outlooks []day.Outlook
	p := &vanPage{}
	for _, at := range h.places.seenBy(ctx) {
		o := at.outlook.Load()
		if o == nil {
			continue
		}
		outlooks = append(outlooks, *o)
		for _, order := range o.Orders {
			p.Orders = append(p.Orders, placeOrder{o.Place, o.Name, order})
		}
	}
	van, err := h.places.Van(ctx, outlooks)
	if err != nil {
		return nil, err
	}
	item := form.Field{Name: "item", Label: wording.Item, Kind: form.ChoiceInput, About: []string{"item"}}
	for _, x := range van.Items {
		item.Choices = append(item.Choices, form.Choice{Value: x.Item, Label: x.Item})
		if x.Counted {
			p.Counted = append(p.Counted, x)
		} else {
			p.Uncounted++
		}
	}
	sortOrders(p.Orders)
	p.Form = form.Form{Action: vanPath, Token: h.tokens.Draw(), Button: wording.WriteItDown, Fields: []form.Field{
		item,
		stockWhat("what"), stockNumber("number"),
	}}
	return p, nil
}

func (h *vanPages) show(w http.ResponseWriter, r *http.Request, status int, p *vanPage) {
	h.showForm(w, r, status, "van", page{Title: wording.TheVan, Here: vanPath, Whole: true, Body: p})
}

func (h *vanPages) van(w http.ResponseWriter, r *http.Request) {
	p, err := h.page(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if item := r.URL.Query().Get("item"); p.lists(item) {
		p.Written = item
	}
	h.show(w, r, http.StatusOK, p)
}

// write takes down what was counted, what came, or how long an order takes.
func (h *vanPages) write(w http.ResponseWriter, r *http.Request) {
	ctx := r.Context()
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	p, err := h.page(ctx)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s := &p.Form
	s.Fill(filled)
	said := stockSaid(s.Text("item"), s.Text("what"), s.Number("number"))
	if !p.lists(said.Item) {
		s.Wrong("item", &record.FieldError{Field: "item", Value: said.Item, Want: wording.OneOfTheList})
	}
	source := sourceOf(ctx, "page")
	taken, err := h.takeOnce(w, r, s, filled, func() (int64, error) { return h.places.SetVan(ctx, said, source) }, vanPath, "item", said.Item)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		p.Problems = s.Problems()
		h.show(w, r, http.StatusUnprocessableEntity, p)
	}
}

// sortOrders puts what is to be ordered in the order in which to do it.
func sortOrders(orders []placeOrder) {
	slices.SortStableFunc(orders, func(a, b placeOrder) int {
		return cmp.Or(cmp.Compare(a.By, b.By), cmp.Compare(a.Item, b.Item), cmp.Compare(a.Place, b.Place))
	})
}
