package web

import (
	"context"
	"fmt"
	"strconv"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func guestsFields(a useAsked) []field {
	return append(equipmentField("guests-machine", "Machine", "all of the place", a.spots.Machines, "", "machine"),
		field{Name: "guests-from", Label: "First day", Hint: "past or to come", Kind: dateInput, Value: a.today.String(), Required: true, About: []string{"from"}},
		field{Name: "guests-to", Label: "Last day", Hint: "the first where left open", Kind: dateInput, About: []string{"to"}},
		field{Name: "guests-shots", Label: "Shots a day on top of the habit", Kind: numberInput, Required: true, Example: "8", About: []string{"shots"}},
		noteField("guests-note"),
	)
}

func readGuests(s *form) useEntry {
	guests := record.Guests{Machine: s.text("guests-machine"), From: s.date("guests-from"), To: s.date("guests-to"), Shots: s.number("guests-shots"), Note: s.text("guests-note")}
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.AddGuests(ctx, opened, guests)
	}
}

func awayFields(a useAsked) []field {
	return append(equipmentField("away-machine", "Switched off", "all of the place", a.spots.Machines, "", "machine"),
		field{Name: "away-from", Label: "First day", Hint: "past or to come", Kind: dateInput, Value: a.today.String(), Required: true, About: []string{"from"}},
		field{Name: "away-to", Label: "Last day", Hint: "open until you end it here", Kind: dateInput, About: []string{"to"}},
		field{Name: "away-frost", Label: "It may freeze where the machine stands", Kind: boxInput},
		noteField("away-note"),
	)
}

func readAway(s *form) useEntry {
	away := record.Away{Machine: s.text("away-machine"), From: s.date("away-from"), To: s.date("away-to"), Frost: s.ticked("away-frost"), Note: s.text("away-note")}
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.AddAway(ctx, opened, away)
	}
}

func endFields(a useAsked) []field {
	which := field{Name: "end-record", Label: "Which", Kind: choiceInput, About: []string{"record", "away", "open period away"}}
	for _, o := range a.open {
		which.Choices = append(which.Choices, choice{Value: strconv.FormatInt(o.Record, 10), Label: fmt.Sprintf("%s (record %d)", o.Says, o.Record)})
	}
	last := field{Name: "end-to", Label: "Last day away", Kind: dateInput, Value: a.today.String(), Required: true, About: []string{"to"}}
	if len(a.open) == 1 && a.open[0].From > a.today {
		last.Value = "" // it has not begun
	}
	return []field{which, last}
}

func readEnd(s *form) useEntry {
	id, err := strconv.ParseInt(s.text("end-record"), 10, 64)
	if err != nil || id <= 0 {
		s.blame(&record.FieldError{Field: "record", Value: s.text("end-record"), Want: "one of the times away that are open"})
	}
	last := s.date("end-to")
	return func(ctx context.Context, j *journal.Journal, opened *day.Day) (journal.Receipt, error) {
		return j.EndAway(ctx, opened, id, last)
	}
}
