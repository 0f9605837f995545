package web

import (
	"context"
	"encoding/json"
	"net/http"
	"net/url"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/water/figure"
)

// comparedPath is the address of the page that puts places beside each other.
const comparedPath = placesPath + "/compare"

// comparedPages put places beside each other, from what is known of them: nothing is worked
// out for it.
type comparedPages struct {
	*handler
	places *places
}

func (h comparedPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+comparedPath, h.page)
	mux.HandleFunc("GET "+comparedPath+".csv", h.csv)
	mux.HandleFunc("GET "+comparedPath+".json", h.json)
}

// standing returns how the place stands: by its outlook or, until it has one, as it was
// worked out last; nil where it never was.
func (w *placeAtWork) standing(ctx context.Context, kept schedule.DerivedStore) *day.Standing {
	if o := w.outlook.Load(); o != nil {
		return &o.Standing
	}
	if s := w.kept.Load(); s != nil || kept == nil {
		return s
	}
	s, err := day.KeptStanding(ctx, kept, w.id, schedule.EndOfTime)
	if err != nil || s == nil {
		return nil // it is being worked out
	}
	w.kept.Store(s)
	return s
}

// compared puts the places beside each other that an address asks for.
func (h comparedPages) compared(ctx context.Context, group, order string) day.Comparison {
	var all []day.Standing
	var waiting []string
	for _, at := range h.places.seenBy(ctx) {
		if s := at.standing(ctx, h.places.Standings); s != nil {
			all = append(all, *s)
		} else {
			waiting = append(waiting, at.id)
		}
	}
	return day.Compare(all, waiting, group, order)
}

func (h comparedPages) asked(r *http.Request) day.Comparison {
	q := r.URL.Query()
	return h.compared(r.Context(), q.Get("group"), q.Get("by"))
}

// comparedPage is places beside each other.
type comparedPage struct {
	Rows    []comparedRow
	Total   comparedRow
	Form    form.Form
	Query   string // of the address, for the files
	Waiting int
}

// comparedRow is a place with its figures in words.
type comparedRow struct {
	Name, Page, Group                                     string
	Urgent                                                bool
	Minutes, Overdue, Scale, Vessel, Shots, Litres, Water string
	Held                                                  string
}

func (h comparedPages) page(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	c := h.asked(r)
	p := comparedPage{Waiting: len(c.Waiting), Form: form.Form{Action: comparedPath, Fields: []form.Field{
		{Name: "by", Label: wording.Order, Kind: form.ChoiceInput, Value: q.Get("by"), Choices: comparisonChoices()},
	}}}
	if groups := overviewPages(h).groups(r.Context()); len(groups) > 0 {
		p.Form.Fields = append(p.Form.Fields, form.Field{Name: "group", Label: wording.OfGroup, Kind: form.ChoiceInput, Value: q.Get("group"), Choices: append([]form.Choice{{Label: wording.AllPlaces}}, groups...)})
	}
	if asked := (url.Values{"by": q["by"], "group": q["group"]}).Encode(); asked != "" {
		p.Query = "?" + asked
	}
	for _, s := range c.Places {
		p.Rows = append(p.Rows, comparedRowOf(s))
	}
	p.Total = comparedRowOf(c.Total)
	h.show(w, r, http.StatusOK, "placescompared", page{Title: wording.PlacesCompared, Here: comparedPath, Whole: true, Body: p})
}

func comparisonChoices() []form.Choice {
	words := map[string]string{
		day.ByHarm: wording.ByNeed, day.ByScale: wording.ByScale, day.ByUse: wording.ByUse,
		day.ByHardness: wording.ByHardness, day.ByScore: wording.ByScore, day.ByName: wording.ByName,
	}
	var all []form.Choice
	for _, order := range day.ComparisonOrders() {
		all = append(all, form.Choice{Value: order, Label: words[order]})
	}
	return all
}

func comparedRowOf(s day.Standing) comparedRow {
	row := comparedRow{
		Name: s.Name, Page: Under(s.Place) + "/", Group: s.Group, Urgent: s.Alarms > 0, Minutes: figure.Fixed(s.HarmMinutes, 0), Overdue: figure.Fixed(float64(s.Past), 0),
		Shots: figure.Fixed(s.ShotsADay, 0), Litres: figure.Fixed(s.LitresADay, 1),
	}
	if s.Scale != nil {
		row.Vessel = s.Scale.Name
		row.Scale = wording.GramsBetween(figure.Rough(s.Scale.Grams.Likely), figure.Rough(s.Scale.Grams.Low), figure.Rough(s.Scale.Grams.High))
	}
	row.Water = wording.NeverTested
	if s.Hardness != nil {
		row.Water = wording.HardnessTested(figure.Fixed(s.Hardness.MgPerL, 0), s.Hardness.District)
	}
	if s.Found > 0 {
		row.Held = wording.HeldOfPromised(figure.Fixed(100*s.Held, 0), s.Found, figure.Fixed(100*s.HeldPromised, 0))
	}
	return row
}

func (h comparedPages) csv(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="places.csv"`)
	_ = csvfile.Write(w, day.ComparisonColumns, h.asked(r).Rows()) // who asked went away
}

func (h comparedPages) json(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	_ = json.NewEncoder(w).Encode(h.asked(r)) // who asked went away
}
