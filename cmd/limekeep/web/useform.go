package web

import (
	"context"
	"errors"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// useForm is a form of the page about use: what it asks for, and how that is
// written down. The names of its inputs begin with its own.
type useForm struct {
	name   string
	title  string
	button string
	offer  func(day.UseSpots) bool // whether there is anything to write it down of
	fields func(useAsked) []field
	read   func(*form) useEntry
}

// useEntry writes down what a form held.
type useEntry func(context.Context, *journal.Journal, *day.Day) (journal.Receipt, error)

// useAsked is what the fields of a form depend on.
type useAsked struct {
	spots   day.UseSpots
	machine string         // that the page shows
	open    []day.AwayLine // times away without an end
	today   record.Date
}

// useForms are the forms of the page, in its order; the first is the one of
// every day.
var useForms = []useForm{
	{"shots", "What was drawn", "Write it down", hasMachines, shotsFields, readShots},
	{"bag", "A finished bag of coffee", "Write the bag down", func(s day.UseSpots) bool { return len(s.Grinders) > 0 }, bagFields, readBag},
	{"meter", "The water meter", "Write the reading down", func(s day.UseSpots) bool { return len(s.Lines) > 0 }, meterFields, readMeter},
	{"guests", "Guests", "Write the guests down", hasMachines, guestsFields, readGuests},
	{"away", "Time away", "Write the time away down", hasMachines, awayFields, readAway},
}

// endForm ends a time away that was left open. It is asked for apart.
var endForm = useForm{"end", "A time away left open", "End the time away", hasMachines, endFields, readEnd}

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
func equipmentField(name, label, all string, of []day.EquipmentInfo, selected string, about ...string) []field {
	if len(of) < 2 {
		return nil
	}
	f := field{Name: name, Label: label, Kind: choiceInput, Value: selected, About: about}
	if all != "" {
		f.Choices = append(f.Choices, choice{Label: all})
	}
	for _, e := range of {
		f.Choices = append(f.Choices, choice{Value: e.Equipment, Label: e.Name})
	}
	return []field{f}
}

func shotsFields(a useAsked) []field {
	return append(equipmentField("shots-machine", "Machine", "", a.spots.Machines, a.machine, "machine"),
		field{Name: "shots-shots", Label: "Shots", Hint: "0 for a day without", Kind: numberInput, Required: true, Example: "4, or 0 for a day without", About: []string{"shots"}},
		field{Name: "shots-steamed", Label: "Of these with steamed milk", Hint: "by habit where left open", Kind: numberInput, About: []string{"steamed"}},
		field{Name: "shots-water", Label: "Hot water drawn, litres", Hint: "by habit where left open", Kind: numberInput, About: []string{"hot_water_l"}},
		field{Name: "shots-date", Label: "Day", Kind: dateInput, Value: a.today.String(), Required: true, About: []string{"date"}},
		field{Name: "shots-to", Label: "Last of several days", Hint: "open for one day; the figures are of all the days together", Kind: dateInput, About: []string{"to"}},
		noteField("shots-note"),
	)
}

func readShots(s *form) useEntry {
	u := journal.UseEntry{
		Machine: s.text("shots-machine"), From: s.date("shots-date"), To: s.date("shots-to"), Note: s.text("shots-note"),
		Sum:        record.UseRow{Shots: s.number("shots-shots"), Steamed: s.number("shots-steamed"), HotWaterLitres: s.number("shots-water")},
		MilkUnsaid: s.text("shots-steamed") == "", HotWaterUnsaid: s.text("shots-water") == "",
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

func bagFields(a useAsked) []field {
	return append(equipmentField("bag-grinder", "Grinder", "", a.spots.Grinders, "", "grinder"),
		field{Name: "bag-grams", Label: "Coffee in the bag, g", Kind: numberInput, Required: true, Example: "250", About: []string{"grams"}},
		field{Name: "bag-date", Label: "Day it was finished", Kind: dateInput, Value: a.today.String(), Required: true, About: []string{"date"}},
		field{Name: "bag-opened", Label: "Day it was opened", Hint: "when the bag before was finished, where left open", Kind: dateInput, About: []string{"opened"}},
		field{Name: "bag-beans", Label: "Beans", Hint: "may be left open", Kind: lineInput, About: []string{"beans"}},
		noteField("bag-note"),
	)
}

func readBag(s *form) useEntry {
	on := s.date("bag-date")
	bag := record.Bag{Grinder: s.text("bag-grinder"), Grams: s.number("bag-grams"), Opened: s.date("bag-opened"), Beans: s.text("bag-beans"), Note: s.text("bag-note")}
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.AddBag(ctx, opened, on, bag)
	}
}

// Units in which water meters count.
const (
	inLitres      = "litres"
	inCubicMetres = "m3"
)

func meterFields(a useAsked) []field {
	return append(equipmentField("meter-line", "Water line", "", a.spots.Lines, "", "water line", "line"),
		field{Name: "meter-reading", Label: "What the meter shows", Kind: numberInput, Required: true, Example: "10432", About: []string{"litres"}},
		field{Name: "meter-unit", Label: "In", Kind: choiceInput, Value: inLitres, Choices: []choice{{Value: inLitres, Label: "litres"}, {Value: inCubicMetres, Label: "cubic metres (m³)"}}, About: []string{"unit"}},
		field{Name: "meter-date", Label: "Day, at the end of which it was read", Kind: dateInput, Value: a.today.String(), Required: true, About: []string{"date"}},
		field{Name: "meter-new", Label: "First figure of a new meter", Hint: "only where the meter was changed right after this reading", Kind: numberInput, About: []string{"new_start"}},
		field{Name: "meter-rolls", Label: "Figure at which it begins again at 0", Hint: "only where it ran over its last figure", Kind: numberInput, About: []string{"rolls_over_litres"}},
		noteField("meter-note"),
	)
}

func readMeter(s *form) useEntry {
	litres := 1.0
	switch s.text("meter-unit") {
	case inLitres, "":
	case inCubicMetres:
		litres = 1000
	default:
		s.blame(&record.FieldError{Field: "unit", Value: s.text("meter-unit"), Want: "litres or cubic metres"})
	}
	on := s.date("meter-date")
	reading := record.MeterReading{
		Line: s.text("meter-line"), Litres: litres * s.number("meter-reading"), RollsOverLitres: litres * s.number("meter-rolls"), Note: s.text("meter-note"),
	}
	if start := litres * s.number("meter-new"); s.text("meter-new") != "" {
		reading.NewStart = &start
	}
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.AddMeterReading(ctx, opened, on, reading)
	}
}
