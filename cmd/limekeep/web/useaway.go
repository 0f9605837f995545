package web

import (
	"context"
	"strconv"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func guestsFields(a useAsked) []form.Field {
	return append(equipmentField("guests-machine", wording.Machine, wording.AllOfThePlace, a.spots.Machines, "", "machine"),
		form.Field{Name: "guests-from", Label: wording.FirstDay, Hint: wording.PastOrToCome, Kind: form.DateInput, Value: a.today.String(), Required: true, About: []string{"from"}},
		form.Field{Name: "guests-to", Label: wording.LastDay, Hint: wording.TheFirstWhereLeftOpen, Kind: form.DateInput, About: []string{"to"}},
		form.Field{Name: "guests-shots", Label: wording.ShotsOnTopOfTheHabit, Kind: form.NumberInput, Required: true, Example: "8", About: []string{"shots"}},
		form.NoteField("guests-note"),
	)
}

func readGuests(s *form.Form) useEntry {
	guests := record.Guests{Machine: s.Text("guests-machine"), From: s.Date("guests-from"), To: s.Date("guests-to"), Shots: s.Number("guests-shots"), Note: s.Text("guests-note")}
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.AddGuests(ctx, opened, guests)
	}
}

func awayFields(a useAsked) []form.Field {
	return append(equipmentField("away-machine", wording.SwitchedOff, wording.AllOfThePlace, a.spots.Machines, "", "machine"),
		form.Field{Name: "away-from", Label: wording.FirstDay, Hint: wording.PastOrToCome, Kind: form.DateInput, Value: a.today.String(), Required: true, About: []string{"from"}},
		form.Field{Name: "away-to", Label: wording.LastDay, Hint: wording.OpenUntilYouEndItHere, Kind: form.DateInput, About: []string{"to"}},
		form.Field{Name: "away-frost", Label: wording.ItMayFreeze, Kind: form.BoxInput},
		form.NoteField("away-note"),
	)
}

func readAway(s *form.Form) useEntry {
	away := record.Away{Machine: s.Text("away-machine"), From: s.Date("away-from"), To: s.Date("away-to"), Frost: s.Ticked("away-frost"), Note: s.Text("away-note")}
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.AddAway(ctx, opened, away)
	}
}

func endFields(a useAsked) []form.Field {
	which := form.Field{Name: "end-record", Label: wording.Which, Kind: form.ChoiceInput, About: []string{"record", "away", "open period away"}}
	for _, o := range a.open {
		which.Choices = append(which.Choices, form.Choice{Value: strconv.FormatInt(o.Record, 10), Label: wording.WithRecord(o.Says, o.Record)})
	}
	last := form.Field{Name: "end-to", Label: wording.LastDayAway, Kind: form.DateInput, Value: a.today.String(), Required: true, About: []string{"to"}}
	if len(a.open) == 1 && a.open[0].From > a.today {
		last.Value = "" // it has not begun
	}
	return []form.Field{which, last}
}

func readEnd(s *form.Form) useEntry {
	id, err := strconv.ParseInt(s.Text("end-record"), 10, 64)
	if err != nil || id <= 0 {
		s.Blame(&record.FieldError{Field: "record", Value: s.Text("end-record"), Want: wording.OneOfTheOpenTimesAway})
	}
	last := s.Date("end-to")
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.EndAway(ctx, opened, id, last)
	}
}
