package web

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strings"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/advice"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// comparePage puts a line's water beside others.
type comparePage struct {
	Form form.Form
	Soon bool // it is being worked out
	told hardnessTold
	advice.WaterComparison
}

// compare works out what other treatments would come to. It takes a forecast for
// each, so that it is asked for and not shown in passing.
func (h waterPages) compare(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s := compareForm()
	s.Fill(r.URL.Query())
	if costs := opened.Place.Costs(); !r.URL.Query().Has("price") && costs.Cartridge > 0 { // not asked yet
		s.Find("price").Value, s.Find("currency").Value = figure.Exact(costs.Cartridge), costs.Currency
	}
	query := advice.CompareQuery{Line: s.Text("line"), CartridgePrice: s.Number("price"), Currency: s.Text("currency")}
	for share := range strings.FieldsSeq(s.Text("bypass")) {
		x, err := form.NumberIn(wording.ShareThatGoesRound, share)
		if err != nil {
			s.Wrong("bypass", err)
			continue
		}
		query.Bypasses = append(query.Bypasses, x/100)
	}
	p := comparePage{Form: s, told: hardnessFor(opened.Place)}
	status := http.StatusOK
	p.Line = query.Line
	if len(s.Problems()) == 0 && r.URL.Query().Has("bypass") { // the form was sent
		var ready bool
		p.WaterComparison, ready, err = h.comparing.ask(r.Context(), comparedKey{opened.Version(), opened.Today, r.URL.RawQuery}, h.patience(), func(ctx context.Context) (advice.WaterComparison, error) {
			return advice.CompareWaters(ctx, opened, query)
		})
		p.Soon = !ready
		var field *record.FieldError
		switch {
		case errors.As(err, &field):
			s.Problem = field.Error()
			p.Form = s
		case err != nil:
			h.fail(w, r, err)
			return
		}
	}
	if len(s.Problems()) > 0 {
		p.Form, status = s, http.StatusUnprocessableEntity
	}
	h.show(w, r, status, "watercompare", page{Title: wording.ComparingWaters, Here: "/water", Place: opened.Info(), Body: p})
}

// comparedKey is what a comparison hangs on.
type comparedKey struct {
	version int64
	today   record.Date
	asked   string
}

func compareForm() form.Form {
	return form.Form{Action: "/water/compare", Button: wording.Compare, Fields: []form.Field{
		{Name: "line", Kind: form.FixedInput},
		{Name: "bypass", Label: wording.SharesRoundTheCartridge, Hint: wording.SharesRoundTheCartridgeHint, Kind: form.LineInput},
		{Name: "price", Label: wording.PriceOfACartridge, Hint: wording.MayBeLeftOpen, Kind: form.NumberInput},
		{Name: "currency", Label: wording.Currency, Hint: wording.MayBeLeftOpen, Kind: form.LineInput, Most: 8},
	}}
}

// Told writes a hardness as the owner has it.
func (p comparePage) Told(mgPerL float64) string { return p.told.says(mgPerL) }

// Back is the address of the line's page.
func (p comparePage) Back() string {
	if p.Line == "" {
		return "/water"
	}
	return "/water?line=" + url.QueryEscape(p.Line)
}

// Often says how long something lasts.
func (p comparePage) Often(i advice.Interval) string {
	if i.Likely == nil {
		return wording.OverFiveYears
	}
	span := func(days *int) string {
		if days == nil {
			return wording.OverSixty
		}
		return figure.AtMost(float64(*days)/30.44, 1)
	}
	return wording.MonthsBetween(span(i.Likely), span(i.Early), span(i.Late))
}
