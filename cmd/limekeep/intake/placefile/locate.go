package placefile

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/intake/yamlfile"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

// reader reads a place file, and knows where in it its equipment stands.
type reader struct{ *yamlfile.Reader }

func newReader() reader { return reader{kind().Reader()} }

var equipmentID = regexp.MustCompile(`^equipment\[\d+\]\.id$`)

// mistakes returns all that was found, by line.
func (p reader) mistakes() error {
	// What points at equipment may be right once an id is that cannot be one.
	if slices.ContainsFunc(p.Found(), func(wrong record.FieldError) bool { return equipmentID.MatchString(wrong.Field) }) {
		p.Drop(func(wrong record.FieldError) bool {
			return strings.HasSuffix(wrong.Field, ".machine.water_line") || strings.Contains(wrong.Field, ".grinder.serves[")
		})
	}
	return p.Mistakes()
}

// check validates what was read, and notes each mistake where it stands.
func (p reader) check(s schedule.Setup, checks []Check) {
	p.NoteIn("place", s.Place.Validate())
	if len(s.Equipment) == 0 {
		p.NoteIn("", &record.FieldError{Field: "equipment", Want: "at least one machine, grinder or water line"})
	}
	for i, e := range s.Equipment {
		p.noteOf(fmt.Sprintf("equipment[%d]", i), e, e.Validate())
	}
	p.NoteIn("care", s.Care.Validate())
	p.noteNamed(s, record.ValidateTogether(s.Equipment))
	for _, check := range checks {
		p.noteNamed(s, check(s))
	}
}

// noteNamed notes mistakes of a setup as a whole: its equipment is named by id.
func (p reader) noteNamed(s schedule.Setup, err error) {
	p.Each(err, func(wrong record.FieldError) {
		for i := len(s.Equipment) - 1; i >= 0; i-- { // of two with one id the second is wrong
			e := s.Equipment[i]
			if field, ok := strings.CutPrefix(wrong.Field, e.ID+"."); ok && e.ID != "" {
				wrong.Field = field
				p.noteOf(fmt.Sprintf("equipment[%d]", i), e, &wrong)
				return
			}
		}
		p.Note(wrong)
	})
}

// noteOf notes mistakes of a piece of equipment, most of whose fields stand below the
// name of what it is.
func (p reader) noteOf(part string, e record.Equipment, err error) {
	p.Each(err, func(wrong record.FieldError) {
		first := wrong.Field[:len(wrong.Field)-len(strings.TrimLeft(wrong.Field, "abcdefghijklmnopqrstuvwxyz_"))]
		inside := part
		for kind, what := range map[string]any{"machine": e.Machine, "grinder": e.Grinder, "water_line": e.Line, "tools": e.Tools} {
			if is := reflect.ValueOf(what); !is.IsNil() {
				if _, ok := yamlfile.FieldsOf(is.Type().Elem())[first]; ok {
					inside = part + "." + kind
				}
			}
		}
		wrong.Field = inside + "." + wrong.Field
		p.Note(wrong)
	})
}
