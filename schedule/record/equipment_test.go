package record_test

import (
	"errors"
	"testing"

	"limekeep/schedule/record"
)

func TestValidateTogether(t *testing.T) {
	machine, grinder, line := goodMachine(), goodGrinder(), goodLine()
	whole := func() []record.Equipment {
		m, g, l := machine, grinder, line
		return []record.Equipment{
			{ID: "machine", Machine: &m}, {ID: "grinder", Grinder: &g}, {ID: "tap", Line: &l},
		}
	}
	tests := []struct {
		name   string
		change func([]record.Equipment) []record.Equipment
		field  string
	}{
		{"whole", func(e []record.Equipment) []record.Equipment { return e }, ""},
		{"nothing at all", func([]record.Equipment) []record.Equipment { return nil }, ""},
		{"an id twice", func(e []record.Equipment) []record.Equipment { return append(e, e[2]) }, "tap.id"},
		{"no line", func(e []record.Equipment) []record.Equipment { return e[:2] }, "machine.water_line"},
		{"a grinder for a line", func(e []record.Equipment) []record.Equipment { e[0].Machine.Line = "grinder"; return e }, "machine.water_line"},
		{"no machine", func(e []record.Equipment) []record.Equipment { return e[1:] }, "grinder.serves[0]"},
		{"a grinder that serves a line", func(e []record.Equipment) []record.Equipment {
			e[1].Grinder.Serves = []string{"machine", "tap"}
			return e
		}, "grinder.serves[1]"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			err := record.ValidateTogether(test.change(whole()))
			var field *record.FieldError
			errors.As(err, &field)
			switch {
			case test.field == "" && err != nil:
				t.Errorf("refused: %v", err)
			case test.field != "" && (field == nil || field.Field != test.field):
				t.Errorf("got %v, want an error about %s", err, test.field)
			}
		})
	}
}

func TestTitleFallsBackToTheID(t *testing.T) {
	e := goodEquipment()
	if e.Title() != "Machine" {
		t.Errorf("title %q", e.Title())
	}
	e.Name = ""
	if e.Title() != "machine" {
		t.Errorf("title without a name %q", e.Title())
	}
}
