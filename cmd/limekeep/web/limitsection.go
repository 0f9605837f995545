package web

import (
	"net/http"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// limitSection is the part of a task's page that says by which limits it falls due,
// and changes them.
type limitSection struct {
	Says []string // a limit and its source each
	Form form.Form
	Back *form.Form // that gives the catalogue's limits back; nil where they stand
}

// Open reports whether the form is to be seen at once.
func (l limitSection) Open() bool { return len(l.Form.Problems()) > 0 }

// limitSection returns the part of a task's page about its limits; nil for what falls
// due by none, or is the owner's own.
func (h taskPages) limitSection(f *day.Forecast, due day.Due) (*limitSection, error) {
	duty, err := f.Day.Duty(due.Task)
	if err != nil || duty.Own {
		return nil, err
	}
	action := "/tasks/" + due.Task + "/limit"
	l := &limitSection{Form: form.Form{Action: action, Token: h.tokens.Draw(), Button: wording.ChangeIt, Quiet: true}}
	gauge := form.Field{Name: "limit-gauge", Label: wording.Which, Kind: form.ChoiceInput, About: []string{"gauge"}}
	changed, only := false, ""
	for _, g := range duty.Gauges {
		if g.Limit.Usual <= 0 {
			continue
		}
		l.Says = append(l.Says, wording.LimitIs(capital(g.Name), say.Amount(g.Limit.Usual, g.Unit), say.Bare(g.Limit.Low, g.Unit), say.Bare(g.Limit.High, g.Unit), g.Limit.Source))
		gauge.Choices = append(gauge.Choices, form.Choice{Value: g.Name, Label: g.Name + ", " + limitUnit(g)})
		only = limitUnit(g)
		changed = changed || g.Instead != ""
	}
	if len(gauge.Choices) == 0 {
		return nil, nil //nolint:nilnil // it has none
	}
	unit := wording.InTheUnitOfTheOneChosen
	if len(gauge.Choices) == 1 {
		unit = wording.InUnit(only)
		gauge.Kind, gauge.Value = form.FixedInput, gauge.Choices[0].Value
	}
	l.Form.Fields = []form.Field{
		gauge,
		{Name: "limit-usual", Label: wording.UsualLimit, Hint: wording.HalfByThen(unit), Kind: form.NumberInput, About: []string{"usual", "off"}},
		{Name: "limit-low", Label: wording.Early, Hint: wording.OneInTenByThen, Kind: form.NumberInput, About: []string{"low"}},
		{Name: "limit-high", Label: wording.Late, Hint: wording.NineInTenByThen, Kind: form.NumberInput, About: []string{"high"}},
		{Name: "limit-months", Label: wording.OrEverySoManyMonths, Hint: wording.InPlaceOfAllLimits, Kind: form.NumberInput, About: []string{"months"}},
		{Name: "limit-by", Label: wording.WhoseFigure, Kind: form.ChoiceInput, About: []string{"by"}, Choices: []form.Choice{
			{Value: string(record.ByOwner), Label: wording.MyOwn}, {Value: string(record.ByMaker), Label: wording.TheMakersTakenAsItStands},
		}},
		{Name: "limit-note", Label: wording.Why, Hint: wording.MayBeLeftOpen, Kind: form.LineInput, About: []string{"note"}},
	}
	if changed {
		l.Back = &form.Form{Action: action, Token: h.tokens.Draw(), Button: wording.TheCataloguesLimitAgain}
	}
	return l, nil
}

// inPercent reports whether a gauge's limit is a share, which people write in per cent.
func inPercent(g care.BoundGauge) bool { return say.Bare(1, g.Unit) != "1" }

// limitUnit is the unit in which somebody enters a gauge's limit.
func limitUnit(g care.BoundGauge) string {
	if inPercent(g) {
		return wording.PerCent(g.Unit)
	}
	return g.Unit
}

// changeLimit takes the forms that change a task's limit.
func (h taskPages) changeLimit(w http.ResponseWriter, r *http.Request, id string) {
	filled, opened, p, ok := h.sentToTask(w, r, id)
	if !ok {
		return
	}
	if p.Limit == nil {
		h.message(w, r, http.StatusUnprocessableEntity, wording.ThatCannotBeTaken, wording.NoLimitToChange)
		return
	}
	s := &p.Limit.Form
	change := record.CareChange{Task: p.Due.Task}
	if filled.Get("limit-back") == "" {
		s.Fill(filled)
		change.Gauge, change.By, change.Note = s.Text("limit-gauge"), record.Whose(s.Text("limit-by")), s.Text("limit-note")
		change.Usual, change.Low, change.High, change.Months = s.Number("limit-usual"), s.Number("limit-low"), s.Number("limit-high"), s.Number("limit-months")
		if change.Months > 0 && change.Usual == 0 {
			change.Gauge = ""
		}
		if change.Usual == 0 && change.Months == 0 && len(s.Problems()) == 0 {
			s.Wrong("limit-usual", &record.FieldError{Field: wording.UsualLimit, Want: wording.AFigureOrSoManyMonthsBelow})
		}
		if duty, err := opened.Duty(p.Due.Task); err == nil {
			for _, g := range duty.Gauges {
				if g.Name == change.Gauge && inPercent(g) {
					change.Usual, change.Low, change.High = change.Usual/100, change.Low/100, change.High/100
				}
			}
		}
	}
	taken, err := h.takeOnce(w, r, s, filled, func() (int64, error) {
		written, err := h.journalOf(r.Context()).ChangeLimit(r.Context(), opened, change)
		return written.Record, err
	}, "/tasks/"+p.Due.Task)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		h.correctTask(w, r, opened, p, s.Problems())
	}
}
