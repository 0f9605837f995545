package placefile

import (
	"fmt"
	"reflect"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// check validates what was read, and notes each mistake where it stands.
func (p *reader) check(s schedule.Setup, checks []Check) {
	p.noteIn("place", s.Place.Validate())
	if len(s.Equipment) == 0 {
		p.noteIn("", &record.FieldError{Field: "equipment", Want: "at least one machine, grinder or water line"})
	}
	for i, e := range s.Equipment {
		p.noteOf(fmt.Sprintf("equipment[%d]", i), e, e.Validate())
	}
	p.noteIn("care", s.Care.Validate())
	p.noteNamed(s, record.ValidateTogether(s.Equipment))
	for _, check := range checks {
		p.noteNamed(s, check(s))
	}
}

// noteNamed notes mistakes of a setup as a whole: its equipment is named by id.
func (p *reader) noteNamed(s schedule.Setup, err error) {
	p.each(err, func(wrong record.FieldError) {
		for i := len(s.Equipment) - 1; i >= 0; i-- { // of two with one id the second is wrong
			e := s.Equipment[i]
			if field, ok := strings.CutPrefix(wrong.Field, e.ID+"."); ok && e.ID != "" {
				wrong.Field = field
				p.noteOf(fmt.Sprintf("equipment[%d]", i), e, &wrong)
				return
			}
		}
		p.note(wrong)
	})
}

// noteOf notes mistakes of a piece of equipment, most of whose fields stand below the
// name of what it is.
func (p *reader) noteOf(part string, e record.Equipment, err error) {
	p.each(err, func(wrong record.FieldError) {
		first := wrong.Field[:len(wrong.Field)-len(strings.TrimLeft(wrong.Field, "abcdefghijklmnopqrstuvwxyz_"))]
		inside := part
		for kind, what := range map[string]any{"machine": e.Machine, "grinder": e.Grinder, "water_line": e.Line, "tools": e.Tools} {
			if is := reflect.ValueOf(what); !is.IsNil() {
				if _, ok := fieldsOf(is.Type().Elem())[first]; ok {
					inside = part + "." + kind
				}
			}
		}
		wrong.Field = inside + "." + wrong.Field
		p.note(wrong)
	})
}

// noteIn notes mistakes of a part of the file.
func (p *reader) noteIn(part string, err error) {
	p.each(err, func(wrong record.FieldError) {
		wrong.Field = strings.TrimPrefix(part+"."+wrong.Field, ".")
		p.note(wrong)
	})
}

// each gives the mistakes of an error; another kind of error ends the reading.
func (p *reader) each(err error, note func(record.FieldError)) {
	all, ok := record.MistakesOf(err)
	if !ok && err != nil {
		p.broken = err
	}
	for _, wrong := range all {
		note(*wrong)
	}
}

// note notes a mistake of what was read: with the line of its field, or of the
// nearest thing around it that was written. What could not be read, or what is in
// it, was told already.
func (p *reader) note(wrong record.FieldError) {
	for path := wrong.Field; path != ""; path = path[:max(strings.LastIndexAny(path, ".["), 0)] {
		if p.bad[path] {
			return
		}
		if line, ok := p.lines[path]; ok && wrong.Line == 0 {
			wrong.Line = line
		}
	}
	p.found = append(p.found, wrong)
}
