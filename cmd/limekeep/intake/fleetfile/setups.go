package fleetfile

import (
	"fmt"
	"strings"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

// SetUp is the place of a row as it is to be.
type SetUp struct {
	Row   Row
	Setup schedule.Setup
	Puts  []placefile.Put // what stands in its columns, and what stood there before
}

// Bases returns what the values of a row are put into: the place as it stands, or a
// template; nil where there is neither. Asks names what the second result is called in
// mistakes that no column is to blame for.
type Bases func(place string) (base *placefile.Template, called string, err error)

// SetUps puts the rows into what they are based on. All that is wrong with any of them is
// told at once: each mistake names line, place and column, or the template.
func (f File) SetUps(bases Bases, check placefile.Check) ([]SetUp, error) {
	var all []SetUp
	var wrong []error
	for _, row := range f.Rows {
		base, called, err := bases(row.Place)
		if err != nil {
			return nil, err
		}
		if base == nil {
			wrong = append(wrong, &record.FieldError{Line: row.Line, Field: row.Place, Value: "a place that is not there yet", Want: "a template for it: a place file that holds what its columns do not say"})
			continue
		}
		setup, puts, err := base.With(row.Values, check)
		if err != nil {
			if _, ok := record.MistakesOf(err); !ok {
				return nil, fmt.Errorf("line %d: %s: %w", row.Line, row.Place, err)
			}
			wrong = append(wrong, row.blamed(err, called))
			continue
		}
		all = append(all, SetUp{Row: row, Setup: setup, Puts: puts})
	}
	return all, few(record.AllOf(wrong...))
}

// blamed tells mistakes of a row by its column, and others by what they stand in.
func (r Row) blamed(err error, called string) error {
	return record.EachMistake(err, func(m record.FieldError) record.FieldError {
		if heading, ok := r.Heading(m.Field); ok {
			m.Line, m.Field = r.Line, r.Place+", "+heading
			return m
		}
		if m.Line > 0 {
			m.Field = fmt.Sprintf("%s, line %d: %s", called, m.Line, m.Field)
			m.Line = 0
			return m
		}
		m.Line, m.Field = r.Line, r.Place+", "+strings.TrimPrefix(called+": "+m.Field, ": ")
		return m
	})
}

// few keeps a file that is wrong throughout from being told of for pages.
func few(err error) error {
	all, ok := record.MistakesOf(err)
	if !ok || len(all) <= mostMistakes {
		return err
	}
	more := len(all) - mostMistakes
	return append(all[:mostMistakes:mostMistakes], &record.FieldError{Field: "file", Value: fmt.Sprintf("%d mistakes more", more), Want: "the file again, once these are put right"})
}
