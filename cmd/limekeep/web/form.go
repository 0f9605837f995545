package web

import (
	"cmp"
	"errors"
	"iter"
	"net/url"
	"slices"
	"strings"

	"limekeep/schedule/record"
)

// form is made of fields one below the other, as filled in: what is asked for is
// a list, and what was typed is kept with what is wrong with it.
type form struct {
	Action  string // address that it is sent to
	Token   string // by which it is taken once; empty where it may be taken again
	Button  string // what its button says
	Asks    bool   // it asks and writes nothing down: what is filled in stands in the address
	Quiet   bool   // its button is not the first thing to do on the page
	Fields  []field
	Problem string // with the form as a whole
}

// field is one input of a form, or a row of inputs.
type field struct {
	Name     string // of the input, and its id: once on a page
	Label    string // with the unit of a figure
	Hint     string
	Kind     inputKind
	Value    string // as filled in
	Choices  []choice
	Groups   []choiceGroup // choices under headings
	Row      []field       // inputs side by side
	Column   string        // of a row that the input stands in
	Folded   bool          // it is one of those that few fill in
	Required bool
	Asked    bool     // browsers insist on it; the journal knows what one left open means
	Most     int      // characters; any number where 0
	Example  string   // of what is asked for, for those who left it open
	About    []string // names by which errors of the journal call it
	Problem  string   // with what was filled in
}

// problems says what is wrong with a filled-in form, by the name of the input;
// under "" what is wrong with it as a whole.
type problems map[string]string

// choice is one of the values that a field can have.
type choice struct {
	Value string
	Label string

	Low, High string // of a unit: between which figures a water can lie; empty for no bounds
}

// choiceGroup is the choices under one heading.
type choiceGroup struct {
	Label   string
	Choices []choice
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
	rowInput    inputKind = "row" // of several inputs
)

// noteField is the field that most forms end with.
func noteField(name string) field {
	return field{Name: name, Label: "Note", Hint: "may be left open", Kind: noteInput, About: []string{"note"}}
}

// Chosen reports whether a choice is the one filled in. Where none is, browsers
// show the first.
func (f field) Chosen(c choice) bool { return f.Value != "" && c.Value == f.Value }

// inputs returns the inputs of the form, those in rows included.
func (s *form) inputs() iter.Seq[*field] {
	return func(yield func(*field) bool) {
		for i := range s.Fields {
			f := &s.Fields[i]
			if f.Kind != rowInput && !yield(f) {
				return
			}
			for k := range f.Row {
				if !yield(&f.Row[k]) {
					return
				}
			}
		}
	}
}

// fill puts what was sent into the fields. The token stays the one it came with,
// so that the same form sent from either page is the same.
func (s *form) fill(sent url.Values) {
	s.Token = cmp.Or(sent.Get(tokenInput), s.Token)
	for f := range s.inputs() {
		f.Value = sent.Get(f.Name)
	}
}

// find returns the input with a name; nil where the form has none.
func (s *form) find(name string) *field {
	for f := range s.inputs() {
		if f.Name == name {
			return f
		}
	}
	return nil
}

// text returns what was written into a field, empty for one that is not there.
func (s *form) text(name string) string {
	f := s.find(name)
	switch {
	case f == nil:
		return ""
	case f.Kind == noteInput:
		return noteIn(f.Value)
	}
	return strings.TrimSpace(f.Value)
}

// ticked reports whether a box was ticked.
func (s *form) ticked(name string) bool { return s.text(name) == "yes" }

// number reads a figure; 0 for one left open, or that is not there.
func (s *form) number(name string) float64 {
	f := s.find(name)
	if f == nil || s.missing(f, "a number") {
		return 0
	}
	x, err := numberIn(f.Label, f.Value)
	s.wrong(name, err)
	return x
}

// date reads a day; zero for one left open, or that is not there.
func (s *form) date(name string) record.Date {
	f := s.find(name)
	if f == nil || s.missing(f, "a day") {
		return 0
	}
	on, err := dateIn(f.Value)
	s.wrong(name, f.named(err))
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
		s.wrong(f.Name, &record.FieldError{Field: f.Label, Want: want})
	}
	return true
}

// wrong keeps the first problem of an input; of a name that is no input's, it is
// one of the whole.
func (s *form) wrong(name string, err error) {
	if err == nil {
		return
	}
	problem := &s.Problem
	if f := s.find(name); f != nil {
		problem = &f.Problem
	}
	*problem = cmp.Or(*problem, err.Error())
}

// Problems returns what is wrong with the form; empty where nothing is.
func (s form) Problems() problems {
	all := problems{}
	if s.Problem != "" {
		all[""] = s.Problem
	}
	for f := range s.inputs() {
		if f.Problem != "" {
			all[f.Name] = f.Problem
		}
	}
	return all
}

// blame puts an error of the journal beside the field it is about; what is about
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
	for f := range s.inputs() {
		if about != "" && slices.Contains(f.About, about) {
			s.wrong(f.Name, f.named(err))
			return
		}
	}
	s.wrong("", err)
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
