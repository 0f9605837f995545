package web

import (
	"net/http"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// checkSection is the part of a task's page that asks for the reading which does
// the task, and shows those taken so far.
type checkSection struct {
	Kind       record.MeasurementKind
	Form       form.Form
	Conditions []shownCondition
}

// shownCondition is what some readings say, the latest first.
type shownCondition struct {
	day.ConditionInfo
	Earlier int // how many readings are not shown
}

// mostReadings is how many readings a page shows.
const mostReadings = 12

// measuredFigure is a figure of a check: the field that asks for it, and where a
// reading holds it.
type measuredFigure struct {
	field form.Field
	of    func(*record.Measurement) *float64
	again bool // usually as last time, so that it is filled in from there
}

// measuredFigures are the figures of each kind of check, in the order in which
// they are read. The names are those of errors.
var measuredFigures = map[record.MeasurementKind][]measuredFigure{
	record.Flow: {
		{form.Field{Name: "grams", Label: wording.WaterCaughtG, Example: "180", Required: true}, func(m *record.Measurement) *float64 { return &m.Grams }, false},
		{form.Field{Name: "seconds", Label: wording.InThisTimeS, Example: "20", Required: true}, func(m *record.Measurement) *float64 { return &m.Seconds }, true},
	},
	record.WarmUpTime: {
		{form.Field{Name: "minutes", Label: wording.UntilHeatingStops, Hint: wording.MinutesAndSecondsHint, Example: "8.5", Required: true}, func(m *record.Measurement) *float64 { return &m.Minutes }, false},
		{form.Field{Name: "from_celsius", Label: wording.TemperatureItStartedFromCelsius, Hint: wording.TwentyIsTakenWhereLeftOpen, Measure: form.Celsius}, func(m *record.Measurement) *float64 { return &m.FromCelsius }, false},
	},
	record.ShotTime: {
		{form.Field{Name: "seconds", Label: wording.TimeFromThePumpsStartS, Example: "28", Required: true}, func(m *record.Measurement) *float64 { return &m.Seconds }, false},
		{form.Field{Name: "setting", Label: wording.SettingOfTheGrinder, Example: wording.SettingOfTheGrinderExample, Kind: form.LineInput, Required: true}, func(m *record.Measurement) *float64 { return &m.Setting }, false},
		{form.Field{Name: "dose_grams", Label: wording.DryCoffeeG, Example: "18", Required: true}, func(m *record.Measurement) *float64 { return &m.DoseGrams }, true},
		{form.Field{Name: "yield_grams", Label: wording.DrinkInTheCupG, Example: "36", Required: true}, func(m *record.Measurement) *float64 { return &m.YieldGrams }, true},
	},
	record.BrewTemperature: {
		{form.Field{Name: "celsius", Label: wording.HighestSteadyReadingCelsius, Example: "91.5", Required: true, Measure: form.Celsius}, func(m *record.Measurement) *float64 { return &m.Celsius }, false},
	},
	record.PumpPressure: {
		{form.Field{Name: "bar", Label: wording.ReadingOnceItStandsBar, Example: "9.1", Required: true}, func(m *record.Measurement) *float64 { return &m.Bar }, false},
	},
	record.ReferenceMass: {
		{form.Field{Name: "shown_grams", Label: wording.WhatTheScaleShowsG, Example: "99.9", Required: true}, func(m *record.Measurement) *float64 { return &m.ShownGrams }, false},
		{form.Field{Name: "mass_grams", Label: wording.WhatTheMassWeighsG, Example: "100", Required: true}, func(m *record.Measurement) *float64 { return &m.MassGrams }, true},
	},
}

// checkSection returns the part of a task's page about its check; nil where no
// reading does the task.
func (h taskPages) checkSection(f *day.Forecast, task string) (*checkSection, error) {
	check, err := f.Day.Check(task)
	if err != nil || check == nil {
		return nil, err
	}
	p := &checkSection{Kind: check.Kind, Form: h.checkForm(*check, f.Day)}
	conditions, err := f.Conditions().Of(task)
	for _, c := range conditions {
		p.Conditions = append(p.Conditions, latestFirst(c))
	}
	return p, err
}

// latestFirst turns the readings round, and keeps what a page shows of them.
func latestFirst(c day.ConditionInfo) shownCondition {
	all := c.Readings
	c.Readings = nil
	for i := len(all) - 1; i >= 0 && len(c.Readings) < mostReadings; i-- {
		c.Readings = append(c.Readings, all[i])
	}
	return shownCondition{c, len(all) - len(c.Readings)}
}

func (h taskPages) checkForm(check day.Check, opened *day.Day) form.Form {
	s := form.Form{Action: "/tasks/" + check.Task + "/reading", Token: h.tokens.Draw(), Button: wording.WriteTheReadingDown}
	if len(check.Parts) > 0 {
		group := form.Field{Name: "part", Label: wording.Group, Kind: form.ChoiceInput, Choices: []form.Choice{{Label: wording.NoGroupInParticular}}, About: []string{"group", "part"}}
		for _, part := range check.Parts {
			group.Choices = append(group.Choices, form.Choice{Value: part, Label: part})
		}
		s.Fields = append(s.Fields, group)
	}
	for _, f := range measuredFigures[check.Kind] {
		if f.field.Kind == "" {
			f.field.Kind = form.NumberInput
		}
		f.field.About = []string{f.field.Name}
		if f.again && check.Last != nil {
			f.field.Value = figure.Exact(*f.of(check.Last))
			f.field.Hint = wording.AsLastTime
		}
		s.Fields = append(s.Fields, f.field)
	}
	s.Fields = append(s.Fields,
		form.Field{Name: "date", Label: wording.DayItWasRead, Kind: form.DateInput, Value: opened.Today.String(), Required: true, About: []string{"date"}},
		form.NoteField("note"))
	s.TellFor(opened.Place)
	return s
}

// takeReading takes the form of a check.
func (h taskPages) takeReading(w http.ResponseWriter, r *http.Request, id string) {
	filled, opened, p, ok := h.sentToTask(w, r, id)
	if !ok {
		return
	}
	if p.Check == nil {
		h.message(w, r, http.StatusUnprocessableEntity, wording.ThatCannotBeTaken, wording.NoReadingDoesThisTask)
		return
	}
	s := &p.Check.Form
	s.Fill(filled)
	x := record.Measurement{Part: s.Text("part"), Note: s.Text("note")}
	for _, f := range measuredFigures[p.Check.Kind] {
		*f.of(&x) = s.Number(f.field.Name)
	}
	on := s.Date("date")
	taken, err := h.takeOnce(w, r, s, filled, func() (int64, error) {
		w, err := h.journalOf(r.Context()).MeasureTask(r.Context(), opened, on, p.Due.Task, x)
		return w.Record, err
	}, "/tasks/"+p.Due.Task)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		h.correctTask(w, r, opened, p, s.Problems())
	}
}
