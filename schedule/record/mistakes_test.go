package record_test

import (
	"errors"
	"strings"
	"testing"

	"limekeep/schedule/record"
)

// All that is wrong with a machine is told at once, of each field the first thing.
func TestValidateTellsEverything(t *testing.T) {
	machine := record.Machine{
		Setting: "ship", Line: "Tap",
		Vessels: []record.Vessel{{ID: "brew", Kind: "brew boiler", Material: "lead", Litres: 70}, {ID: "brew", Kind: "bowl", Material: "brass"}},
		Groups:  []record.Group{{ID: "g", Spring: true}},
		Habit:   record.Habit{WeekdayShots: -1, HotHours: 30},
	}
	all, ok := record.MistakesOf(machine.Validate())
	if !ok {
		t.Fatal("nothing is wrong")
	}
	var fields []string
	for _, wrong := range all {
		fields = append(fields, wrong.Field)
	}
	want := "setting water_line vessels[0].material vessels[0].litres vessels[1].kind vessels[1].id groups[0].spring habit.weekday_shots habit.hot_hours"
	if got := strings.Join(fields, " "); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if lines := strings.Count(all.Error(), "\n") + 1; lines != len(all) {
		t.Errorf("%d mistakes have %d lines", len(all), lines)
	}
	var first *record.FieldError
	if !errors.As(error(all), &first) || first.Field != "setting" {
		t.Errorf("the first is %v", first)
	}
}

// What is no mistake of a field is told alone.
func TestAllOf(t *testing.T) {
	broken := errors.New("the disk is gone")
	field := &record.FieldError{Field: "id", Want: "an id"}
	for _, c := range []struct {
		name  string
		given []error
		want  error
	}{
		{"nothing", []error{nil, nil}, nil},
		{"one", []error{nil, field}, field},
		{"the same field", []error{field, &record.FieldError{Field: "id", Want: "another"}}, field},
		{"something else", []error{field, broken}, broken},
	} {
		if got := record.AllOf(c.given...); got != c.want { //nolint:errorlint // this very error
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
	unknown := record.NotKnown("task", &record.UnknownError{What: "task", Name: "polsh", Known: []string{"polish", "sharpen"}})
	if !errors.Is(unknown, record.ErrUnknown) || unknown.Error() != `task: task "polsh" is not known; known: polish, sharpen; did you mean polish?` {
		t.Errorf("got %v", unknown)
	}
}

// Slips by hand; the distance is the optimal string alignment distance.
func TestNearest(t *testing.T) {
	known := []string{"setting", "water_line", "vessels", "groups", "habit", "brew boiler", "has", "lacks"}
	for word, want := range map[string]string{
		"seting": "setting", "settnig": "setting", "Setting": "setting", "waterline": "water_line", "water-line": "water_line",
		"vessel": "vessels", "brewboiler": "brew boiler", "habbit": "habit", "colour": "", "": "", "xyz": "", "gruops": "groups",
		strings.Repeat("a", 5000): "",
	} {
		if got := record.Nearest(word, known); got != want {
			t.Errorf("%.20q: got %q, want %q", word, got, want)
		}
	}
}
