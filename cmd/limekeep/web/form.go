package web

import (
	"cmp"
	"errors"
	"net/url"
	"slices"
	"strings"

	"limekeep/schedule/record"
)

// form is made of fields one below the other, as filled in: what is
// asked for is a list, and what was typed is kept with what is wrong with it.
type form struct {
	Action   string // address that it is sent to
	Token    string
	Button   string // what its button says
	Quiet    bool   // its button is not the first thing to do on the page
	Fields   []field
	Problems problems
}

// field is one input of a form.
type field struct {
	Name     string // of the input, and its id: once on a page
	Label    string // with the unit of a figure
	Hint     string
	Kind     inputKind
	Value    string // as filled in
	Choices  []choice
	Required bool
	Example  string   // of what is asked for, for those who left it open
	About    []string // names by which errors of the desk call it
}

// inputKind tells how a field is filled in.
type inputKind string

// Kinds of input.
const (
	numberInput inputKind = "number" // with a keypad on a phone
	dateInput   inputKind = "date"
	lineInput   inputKind = "line" // a few words, or a number that can be below zero: keypads lack the minus
	noteInput   inputKind = "note" // of several lines
	choiceInput inputKind = "choice"
	boxInput    inputKind = "box" // to be ticked
	fixedInput  inputKind = "fixed"
)

// noteField is the field that most forms end with.
func noteField(name string) field {
	return field{Name: name, Label: "Note", Hint: "may be left open", Kind: noteInput, About: []string{"note"}}
}

// fill puts what was sent into the fields. The token stays the one it came with,
// so that the same form sent from either page is the same.
func (s *form) fill(filled url.Values) {
	if token := filled.Get(tokenInput); token != "" {
		s.Token = token
	}
	for i := range s.Fields {
		f := &s.Fields[i]
		f.Value = filled.Get(f.Name)
		for k := range f.Choices {
			f.Choices[k].Selected = f.Choices[k].Value == f.Value
		}
	}
}

// at returns the field with a name; every name asked for is one of our own.
func (s *form) at(name string) *field {
	return &s.Fields[slices.IndexFunc(s.Fields, func(f field) bool { return f.Name == name })]
}

// has reports whether the form asks for something at all.
func (s *form) has(name string) bool {
	return slices.ContainsFunc(s.Fields, func(f field) bool { return f.Name == name })
}

// text returns what was written into a field, empty for one that is not there.
func (s *form) text(name string) string {
	if !s.has(name) {
		return ""
	}
	f := s.at(name)
	if f.Kind == noteInput {
		return noteIn(f.Value)
	}
	return strings.TrimSpace(f.Value)
}

// ticked reports whether a box was ticked.
func (s *form) ticked(name string) bool { return s.text(name) == "yes" }

// number reads a figure; 0 for one left open.
func (s *form) number(name string) float64 {
	f := s.at(name)
	if s.missing(f, "a number") {
		return 0
	}
	x, err := numberIn(f.Label, f.Value)
	s.Problems.add(name, err)
	return x
}

// date reads a day; zero for one left open.
func (s *form) date(name string) record.Date {
	f := s.at(name)
	if s.missing(f, "a day") {
		return 0
	}
	on, err := dateIn(f.Value)
	s.Problems.add(name, f.named(err))
	return on
}

// missing reports whether a field was left open, and makes a problem of it where
// it must not be. Browsers ask for it by themselves; not all that send forms are
// browsers.
func (s *form) missing(f *field, what string) bool {
	if strings.TrimSpace(f.Value) != "" {
		return false
	}
	if f.Required {
		want := what
		if f.Example != "" {
			want += ", such as " + f.Example
		}
		s.Problems.add(f.Name, &record.FieldError{Field: f.Label, Want: want})
	}
	return true
}

// blame puts an error of the desk beside the field it is about; what is about
// none of them is said of the whole.
func (s *form) blame(err error) {
	var wrong *record.FieldError
	var unknown *record.UnknownError
	about := ""
	switch {
	case errors.As(err, &wrong):
		about = wrong.Field
	case errors.As(err, &unknown):
		about = unknown.What
	}
	for i := range s.Fields {
		if f := &s.Fields[i]; about != "" && slices.Contains(f.About, about) {
			s.Problems.add(f.Name, f.named(err))
			return
		}
	}
	s.Problems.add("", err)
}

// named puts the field's label in the place of the name that an error has for
// it.
func (f *field) named(err error) error {
	var wrong *record.FieldError
	if !errors.As(err, &wrong) {
		return err
	}
	label := *wrong
	label.Field = cmp.Or(f.Label, label.Field)
	return &label
}
