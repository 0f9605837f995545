package form

import (
	"cmp"
	"errors"
	"iter"
	"net/url"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// Form is made of fields one below the other, as filled in: what is asked for is
// a list, and what was typed is kept with what is wrong with it.
type Form struct {
	Action  string // address that it is sent to
	Token   string // by which it is taken once; empty where it may be taken again
	Button  string // what its button says
	File    bool   // it brings a file
	Asks    bool   // it asks and writes nothing down: what is filled in stands in the address
	Quiet   bool   // its button is not the first thing to do on the page
	Fields  []Field
	Problem string // with the form as a whole
}

// Field is one input of a form, or a row of inputs.
type Field struct {
	Name     string // of the input, and its id: once on a page
	Label    string // with the unit of a figure
	Hint     string
	Kind     InputKind
	Value    string // as filled in
	Choices  []Choice
	Groups   []ChoiceGroup // choices under headings
	Row      []Field       // inputs side by side, or of a section
	Column   string        // of a row that the input stands in
	Folded   bool          // it is one of those that few fill in
	Required bool
	New      bool     // of a password: it is made here, and browsers may make one up
	Asked    bool     // browsers insist on it; the journal knows what one left open means
	Most     int      // characters; any number where 0
	Example  string   // of what is asked for, for those who left it open
	Measure  Measure  // of a figure: in which unit records hold it, where owners may want another
	told     *told    // the unit that its owner has; nil for that of the records
	About    []string // names by which errors of the journal call it
	Problem  string   // with what was filled in
}

// Problems says what is wrong with a filled-in form, by the name of the input;
// under "" what is wrong with it as a whole.
type Problems map[string]string

// Choice is one of the values that a field can have.
type Choice struct {
	Value string
	Label string

	Low, High string // of a unit: between which figures a water can lie; empty for no bounds
}

// ChoiceGroup is the choices under one heading.
type ChoiceGroup struct {
	Label   string
	Choices []Choice
}

// InputKind tells how a field is filled in.
type InputKind string

// Kinds of input.
const (
	NumberInput InputKind = "number" // with a keypad on a phone
	DateInput   InputKind = "date"
	LineInput   InputKind = "line" // a few words, or a number that can be below zero: keypads lack the minus
	NoteInput   InputKind = "note" // of several lines
	ChoiceInput InputKind = "choice"
	BoxInput    InputKind = "box" // to be ticked
	FixedInput  InputKind = "fixed"
	TimeInput   InputKind = "time" // of day
	FileInput   InputKind = "file"
	SecretInput InputKind = "secret" // a password
	RowInput    InputKind = "row"    // of several inputs

	SectionInput InputKind = "section" // inputs under a heading, folded away where few need them
)

// NoteField is the field that most forms end with.
func NoteField(name string) Field {
	return Field{Name: name, Label: wording.Note, Hint: wording.MayBeLeftOpen, Kind: NoteInput, About: []string{"note"}}
}

// Chosen reports whether a choice is the one filled in. Where none is, browsers
// show the first.
func (f Field) Chosen(c Choice) bool { return f.Value != "" && c.Value == f.Value }

// Inputs returns the inputs of the form, those in rows and sections included.
func (s *Form) Inputs() iter.Seq[*Field] {
	return func(yield func(*Field) bool) { inputsOf(s.Fields, yield) }
}

// inputsOf yields the inputs of fields, and reports whether to go on.
func inputsOf(fields []Field, yield func(*Field) bool) bool {
	for i := range fields {
		f := &fields[i]
		if f.Kind != RowInput && f.Kind != SectionInput && !yield(f) {
			return false
		}
		if !inputsOf(f.Row, yield) {
			return false
		}
	}
	return true
}

// Open reports whether a section is to be seen at once: it is not folded, or something
// in it is wrong.
func (f Field) Open() bool {
	wrong := false
	inputsOf(f.Row, func(in *Field) bool {
		wrong = in.Problem != ""
		return !wrong
	})
	return !f.Folded || wrong
}

// Fill puts what was sent into the fields. The token stays the one it came with,
// so that the same form sent from either page is the same.
func (s *Form) Fill(sent url.Values) {
	s.Token = cmp.Or(sent.Get(TokenInput), s.Token)
	for f := range s.Inputs() {
		f.Value = sent.Get(f.Name)
	}
}

// Find returns the input with a name; nil where the form has none.
func (s *Form) Find(name string) *Field {
	for f := range s.Inputs() {
		if f.Name == name {
			return f
		}
	}
	return nil
}

// Call gives an input another name by which errors of the rooms call it.
func (s *Form) Call(name, about string) {
	if f := s.Find(name); f != nil {
		f.About = append(f.About, about)
	}
}

// Text returns what was written into a field, empty for one that is not there.
func (s *Form) Text(name string) string {
	f := s.Find(name)
	switch {
	case f == nil:
		return ""
	case f.Kind == NoteInput:
		return NoteIn(f.Value)
	}
	return strings.TrimSpace(f.Value)
}

// Ticked reports whether a box was ticked.
func (s *Form) Ticked(name string) bool { return s.Text(name) == "yes" }

// Number returns the figure in a field; 0 for one left open, or that is not there.
func (s *Form) Number(name string) float64 {
	f := s.Find(name)
	if f == nil || s.missing(f, wording.ANumber) {
		return 0
	}
	x, err := NumberIn(f.Label, f.Value)
	s.Wrong(name, err)
	if err != nil || strings.TrimSpace(f.Value) == "" {
		return 0
	}
	return f.canonical(x)
}

// Date returns the day in a field; zero for one left open, or that is not there.
func (s *Form) Date(name string) record.Date {
	f := s.Find(name)
	if f == nil || s.missing(f, wording.ADay) {
		return 0
	}
	on, err := DateIn(f.Value)
	s.Wrong(name, f.named(err))
	return on
}

// missing reports whether a field was left open, and makes a problem of it where
// it must not be. Browsers ask for it by themselves; not all that send forms are
// browsers.
func (s *Form) missing(f *Field, what string) bool {
	if strings.TrimSpace(f.Value) != "" {
		return false
	}
	if f.Required {
		want := what
		if f.Example != "" {
			want = wording.SuchAs(want, f.Example)
		}
		s.Wrong(f.Name, &record.FieldError{Field: f.Label, Want: want})
	}
	return true
}

// Wrong keeps the first problem of an input; of a name that is no input's, it is
// one of the whole.
func (s *Form) Wrong(name string, err error) {
	if err == nil {
		return
	}
	problem := &s.Problem
	if f := s.Find(name); f != nil {
		problem = &f.Problem
	}
	*problem = cmp.Or(*problem, err.Error())
}

// Problems returns what is wrong with the form; empty where nothing is.
func (s Form) Problems() Problems {
	all := Problems{}
	if s.Problem != "" {
		all[""] = s.Problem
	}
	for f := range s.Inputs() {
		if f.Problem != "" {
			all[f.Name] = f.Problem
		}
	}
	return all
}

// Blame puts an error of the journal beside the field it is about, and each of several
// mistakes beside its own; what is about none of them is said of the whole.
func (s *Form) Blame(err error) {
	var several record.MistakesError
	if errors.As(err, &several) {
		for _, wrong := range several {
			s.Blame(wrong)
		}
		return
	}
	var wrong *record.FieldError
	var unknown *record.UnknownError
	about := ""
	switch {
	case errors.As(err, &wrong):
		about = wrong.Field
	case errors.As(err, &unknown):
		about = unknown.What
	}
	for f := range s.Inputs() {
		if about != "" && slices.Contains(f.About, about) {
			s.Wrong(f.Name, f.named(err))
			return
		}
	}
	s.Wrong("", err)
}

// named puts the field's label in the place of the name that an error has for
// it.
func (f *Field) named(err error) error {
	var wrong *record.FieldError
	if !errors.As(err, &wrong) {
		return err
	}
	label := *wrong
	label.Field = cmp.Or(f.Label, label.Field)
	label.Value = f.typed(label.Value)
	return &label
}
