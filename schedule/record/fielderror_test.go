package record_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"limekeep/schedule/record"
)

func TestFieldErrorText(t *testing.T) {
	tests := []struct {
		name string
		err  record.FieldError
		want string
	}{
		{"a value", record.FieldError{Field: "dose_g", Value: "plenty", Want: "a number"}, `dose_g: "plenty" cannot be taken; give a number`},
		{"nothing", record.FieldError{Field: "zone", Want: "a time zone"}, "zone: nothing is given; give a time zone"},
		{"on a line", record.FieldError{Field: "zone", Value: "Mars", Want: "a time zone", Line: 7}, `line 7: zone: "Mars" cannot be taken; give a time zone`},
		{"controls are shown, not sent to the terminal", record.FieldError{Field: "name", Value: "a\x1b[31m\nb", Want: "a name"}, `name: "a\x1b[31m\nb" cannot be taken; give a name`},
		{"a long value is cut between characters", record.FieldError{Field: "name", Value: strings.Repeat("é", 61), Want: "a name"},
			`name: "` + strings.Repeat("é", 60) + `…" cannot be taken; give a name`},
		{"sixty characters are not cut", record.FieldError{Field: "name", Value: strings.Repeat("é", 60), Want: "a name"},
			`name: "` + strings.Repeat("é", 60) + `" cannot be taken; give a name`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := test.err.Error(); got != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
		})
	}
}

func TestUnknownErrorText(t *testing.T) {
	many := make([]string, 41)
	for i := range many {
		many[i] = fmt.Sprintf("t%d", i)
	}
	tests := []struct {
		name string
		err  record.UnknownError
		want string
	}{
		{"nothing is known", record.UnknownError{What: "record", Name: "9"}, `record "9" is not known`},
		{"some are known", record.UnknownError{What: "task", Name: "x", Known: []string{"a", "b"}}, `task "x" is not known; known: a, b`},
		{"forty are all named", record.UnknownError{What: "task", Name: "x", Known: many[:40]}, `task "x" is not known; known: ` + strings.Join(many[:40], ", ")},
		{"more than one is called so", record.UnknownError{What: "task", Name: "descale", Known: []string{"machine/descale/brew", "machine/descale/steam"}, Many: true},
			`more than one task is called "descale": give one of machine/descale/brew, machine/descale/steam`},
		{"more are not", record.UnknownError{What: "task", Name: "x", Known: many}, `task "x" is not known; there are 41, among them t0, t1, t2, t3, t4`},
		{"a slip in what follows the machine", record.UnknownError{What: "task", Name: "descal/steam", Known: []string{"machine/descale/brew", "machine/descale/steam"}},
			`task "descal/steam" is not known; known: machine/descale/brew, machine/descale/steam; did you mean machine/descale/steam?`},
		{"a word that one alone holds", record.UnknownError{What: "task", Name: "Gasket", Known: []string{"machine/jets/group", "machine/group-gasket/group"}},
			`task "Gasket" is not known; known: machine/jets/group, machine/group-gasket/group; did you mean machine/group-gasket/group?`},
		{"a word that two hold", record.UnknownError{What: "task", Name: "Group", Known: []string{"machine/jets/group", "machine/group-gasket/group"}},
			`task "Group" is not known; known: machine/jets/group, machine/group-gasket/group`},
		{"a long name is cut", record.UnknownError{What: "task", Name: strings.Repeat("y", 99)}, `task "` + strings.Repeat("y", 60) + `…" is not known`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := test.err.Error(); got != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
			if wrapped := fmt.Errorf("here: %w", &test.err); !errors.Is(wrapped, record.ErrUnknown) {
				t.Error("it does not match ErrUnknown")
			}
		})
	}
}
