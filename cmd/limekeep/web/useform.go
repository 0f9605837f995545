package web

import (
	"context"
	"errors"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/water"
)

// useForm is a form of the page about use: what it asks for, and how that is
// written down. The names of its inputs begin with its own.
type useForm struct {
	name   string
	title  string
	button string
	offer  func(day.UseSpots) bool // whether there is anything to write it down of
	fields func(useAsked) []form.Field
	read   func(*form.Form) useEntry
}

// useEntry writes down what a form held.
type useEntry func(context.Context, *journal.Journal, *day.Day) (journal.Receipt, error)

// useAsked is what the fields of a form depend on.
type useAsked struct {
	spots   day.UseSpots
	machine string         // that the page shows
	open    []day.AwayLine // times away without an end
	today   record.Date
	place   record.Place
}

// useForms are the forms of the page, in its order; the first is the one of
// every day.
var useForms = []useForm{
	{"shots", wording.WhatWasDrawn, wording.WriteItDown, hasMachines, shotsFields, readShots},
	{"bag", wording.AFinishedBagOfCoffee, wording.WriteTheBagDown, func(s day.UseSpots) bool { return len(s.Grinders) > 0 }, bagFields, readBag},
	{"meter", wording.TheWaterMeter, wording.WriteTheReadingDown, func(s day.UseSpots) bool { return len(s.Lines) > 0 }, meterFields, readMeter},
	{"guests", wording.Guests, wording.WriteTheGuestsDown, hasMachines, guestsFields, readGuests},
	{"away", wording.TimeAway, wording.WriteTheTimeAwayDown, hasMachines, awayFields, readAway},
}

// endForm ends a time away that was left open. It is asked for apart.
var endForm = useForm{"end", wording.ATimeAwayLeftOpen, wording.EndTheTimeAway, hasMachines, endFields, readEnd}

func hasMachines(s day.UseSpots) bool { return len(s.Machines) > 0 }

// useFormOf finds a form by its name.
func useFormOf(name string) (useForm, bool) {
	for _, f := range append(useForms[:len(useForms):len(useForms)], endForm) {
		if f.name == name {
			return f, true
		}
	}
	return useForm{}, false
}

// equipmentField asks for a piece of equipment where there is a choice. All is
// what stands for all of it, empty where one must be chosen.
func equipmentField(name, label, all string, of []day.EquipmentInfo, selected string, about ...string) []form.Field {
	if len(of) < 2 {
		return nil
	}
	f := form.Field{Name: name, Label: label, Kind: form.ChoiceInput, Value: selected, About: about}
	if all != "" {
		f.Choices = append(f.Choices, form.Choice{Label: all})
	}
	for _, e := range of {
		f.Choices = append(f.Choices, form.Choice{Value: e.Equipment, Label: e.Name})
	}
	return []form.Field{f}
}

func shotsFields(a useAsked) []form.Field {
	return append(equipmentField("shots-machine", wording.Machine, "", a.spots.Machines, a.machine, "machine"),
		form.Field{Name: "shots-shots", Label: wording.Shots, Hint: wording.NoughtForADayWithout, Kind: form.NumberInput, Required: true, Example: wording.ShotsExample, About: []string{"shots"}},
		form.Field{Name: "shots-steamed", Label: wording.OfTheseWithSteamedMilk, Hint: wording.ByHabitWhereLeftOpen, Kind: form.NumberInput, About: []string{"steamed"}},
		form.Field{Name: "shots-water", Label: wording.HotWaterDrawnLitres, Hint: wording.ByHabitWhereLeftOpen, Kind: form.NumberInput, Measure: form.FewLitres, About: []string{"hot_water_l"}},
		form.Field{Name: "shots-date", Label: wording.Day, Kind: form.DateInput, Value: a.today.String(), Required: true, About: []string{"date"}},
		form.Field{Name: "shots-to", Label: wording.LastOfSeveralDays, Hint: wording.OpenForOneDayOrTogether, Kind: form.DateInput, About: []string{"to"}},
		form.NoteField("shots-note"),
	)
}

func readShots(s *form.Form) useEntry {
	u := journal.UseEntry{
		Machine: s.Text("shots-machine"), From: s.Date("shots-date"), To: s.Date("shots-to"), Note: s.Text("shots-note"),
		Sum:        record.UseRow{Shots: s.Number("shots-shots"), Steamed: s.Number("shots-steamed"), HotWaterLitres: s.Number("shots-water")},
		MilkUnsaid: s.Text("shots-steamed") == "", HotWaterUnsaid: s.Text("shots-water") == "",
	}
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		written, err := j.AddUse(ctx, opened, u)
		var wrong *record.FieldError
		if errors.As(err, &wrong) && wrong.Field == "date" && u.To != u.From && wrong.Value == u.To.String() {
			// Both days are checked as one; which of them it was shows by itself.
			last := *wrong
			last.Field = "to"
			err = &last
		}
		return written, err
	}
}

func bagFields(a useAsked) []form.Field {
	return append(equipmentField("bag-grinder", wording.Grinder, "", a.spots.Grinders, "", "grinder"),
		form.Field{Name: "bag-grams", Label: wording.CoffeeInTheBagG, Kind: form.NumberInput, Required: true, Example: "250", About: []string{"grams"}},
		form.Field{Name: "bag-date", Label: wording.DayItWasFinished, Kind: form.DateInput, Value: a.today.String(), Required: true, About: []string{"date"}},
		form.Field{Name: "bag-opened", Label: wording.DayItWasOpened, Hint: wording.DayItWasOpenedHint, Kind: form.DateInput, About: []string{"opened"}},
		form.Field{Name: "bag-beans", Label: wording.Beans, Hint: wording.MayBeLeftOpen, Kind: form.LineInput, About: []string{"beans"}},
		form.NoteField("bag-note"),
	)
}

func readBag(s *form.Form) useEntry {
	on := s.Date("bag-date")
	bag := record.Bag{Grinder: s.Text("bag-grinder"), Grams: s.Number("bag-grams"), Opened: s.Date("bag-opened"), Beans: s.Text("bag-beans"), Note: s.Text("bag-note")}
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.AddBag(ctx, opened, on, bag)
	}
}

// Units in which water meters count.
const (
	inLitres      = "litres"
	inCubicMetres = "m3"
	inGallons     = "gallons" // US
	inCubicFeet   = "ft3"
)

// litresOf are the units of meters in litres: the foot is 0.3048 m, by the international
// agreement of 1959.
var litresOf = map[string]float64{"": 1, inLitres: 1, inCubicMetres: 1000, inGallons: water.LitresPerUSGallon, inCubicFeet: 28.316846592}

func meterFields(a useAsked) []form.Field {
	counts := inLitres
	if a.place.Units == record.USCustomary {
		counts = inGallons
	}
	return append(equipmentField("meter-line", wording.WaterLineLabel, "", a.spots.Lines, "", wording.AWaterLinePart, "line"),
		form.Field{Name: "meter-reading", Label: wording.WhatTheMeterShows, Kind: form.NumberInput, Required: true, Example: "10432", About: []string{"litres"}},
		form.Field{Name: "meter-unit", Label: wording.In, Kind: form.ChoiceInput, Value: counts, Choices: []form.Choice{{Value: inLitres, Label: wording.Litres}, {Value: inCubicMetres, Label: wording.CubicMetres}, {Value: inGallons, Label: wording.USGallons}, {Value: inCubicFeet, Label: wording.CubicFeet}}, About: []string{"unit"}},
		form.Field{Name: "meter-date", Label: wording.DayOfTheMeterReading, Kind: form.DateInput, Value: a.today.String(), Required: true, About: []string{"date"}},
		form.Field{Name: "meter-new", Label: wording.FirstFigureOfANewMeter, Hint: wording.NewMeterHint, Kind: form.NumberInput, About: []string{"new_start"}},
		form.Field{Name: "meter-rolls", Label: wording.MeterRollsOver, Hint: wording.MeterRollsOverHint, Kind: form.NumberInput, About: []string{"rolls_over_litres"}},
		form.NoteField("meter-note"),
	)
}

func readMeter(s *form.Form) useEntry {
	litres, known := litresOf[s.Text("meter-unit")]
	if !known {
		s.Blame(&record.FieldError{Field: "unit", Value: s.Text("meter-unit"), Want: wording.LitresOrCubicMetres})
	}
	on := s.Date("meter-date")
	reading := record.MeterReading{
		Line: s.Text("meter-line"), Litres: litres * s.Number("meter-reading"), RollsOverLitres: litres * s.Number("meter-rolls"), Note: s.Text("meter-note"),
	}
	if start := litres * s.Number("meter-new"); s.Text("meter-new") != "" {
		reading.NewStart = &start
	}
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.AddMeterReading(ctx, opened, on, reading)
	}
}
