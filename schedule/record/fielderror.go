package record

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"limekeep/water/figure"
)

// FieldError says which field of what somebody wrote cannot be taken, and what
// would be right.
type FieldError struct {
	Field string // the field's name, as the person wrote it
	Value string // what stood there
	Want  string // what would be right, to follow "give "
	Line  int    // line of the file, 0 where there is none
	Cause error  // what else the error is, for errors.Is; nil for nothing
}

// Unwrap returns what else the error is.
func (e *FieldError) Unwrap() error { return e.Cause }

// NotKnown says which field holds a name that stands for nothing.
func NotKnown(field string, unknown *UnknownError) error {
	return &FieldError{Field: field, Value: unknown.Name, Want: "one of " + OneOf(unknown.Name, unknown.Known), Cause: unknown}
}

// Error is one line: where, what stood there, what would be right.
func (e *FieldError) Error() string {
	where := e.Field
	if e.Line > 0 {
		where = fmt.Sprintf("line %d: %s", e.Line, e.Field)
	}
	var unknown *UnknownError
	if errors.As(e.Cause, &unknown) {
		return where + ": " + unknown.Error()
	}
	var lacks *LacksError
	if errors.As(e.Cause, &lacks) {
		return lacks.Error()
	}
	if e.Value == "" {
		return fmt.Sprintf("%s: nothing is given; give %s", where, e.Want)
	}
	return fmt.Sprintf("%s: %q cannot be taken; give %s", where, shorten(e.Value), e.Want)
}

// shorten keeps a hostile value from filling the message.
func shorten(value string) string {
	const most = 60
	runes := []rune(value)
	if len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return value
}

// ErrUnknown is at the root of every error about a name that stands for
// nothing: a task, an equipment, a record.
var ErrUnknown = errors.New("not known")

// UnknownError says that a name stands for nothing here, and what does.
type UnknownError struct {
	What  string   // "task", "equipment", "record"
	Name  string   // what was asked for
	Known []string // what would have been understood
	Many  bool     // the name says too little: it is that of each known
}

// Error names the unknown and, where there are not too many, the known.
func (e *UnknownError) Error() string {
	const most = 40
	if e.Many && len(e.Known) > 0 {
		return fmt.Sprintf("more than one %s is called %q: give one of %s", e.What, shorten(e.Name), strings.Join(e.Known[:min(len(e.Known), most)], ", "))
	}
	text := fmt.Sprintf("%s %q is not known", e.What, shorten(e.Name))
	near := ""
	if word := e.nearest(); word != "" {
		near = "; did you mean " + word + "?"
	}
	switch {
	case len(e.Known) == 0:
		return text
	case len(e.Known) > most:
		return fmt.Sprintf("%s; there are %d, among them %s", text, len(e.Known), strings.Join(e.Known[:5], ", ")) + near
	default:
		return fmt.Sprintf("%s; known: %s", text, strings.Join(e.Known, ", ")) + near
	}
}

// nearest returns the known name that was likely meant; empty for none. A name that begins
// with what it is of, as tasks do, is known by what follows as well; and a word that only
// one of them holds is that one.
func (e *UnknownError) nearest() string {
	if word := Nearest(e.Name, e.Known); word != "" {
		return word
	}
	var tails []string
	of := map[string]string{}
	for _, known := range e.Known {
		_, tail, _ := strings.Cut(known, "/")
		if _, twice := of[tail]; tail != "" && !twice {
			tails = append(tails, tail)
			of[tail] = known
		}
	}
	if word := Nearest(e.Name, tails); word != "" {
		return of[word]
	}
	const shortest = 3
	part := strings.ToLower(strings.TrimSpace(e.Name))
	if len(part) < shortest {
		return ""
	}
	holding := ""
	for _, known := range e.Known {
		if strings.Contains(strings.ToLower(known), part) {
			if holding != "" {
				return ""
			}
			holding = known
		}
	}
	return holding
}

// Unwrap makes errors.Is(err, ErrUnknown) true.
func (e *UnknownError) Unwrap() error { return ErrUnknown }

// LacksError says that a place has no equipment of the sort that is asked for.
type LacksError struct {
	Sort string // "grinder", "water line", "scale"
}

// Error says what is not there, and where it is added.
func (e *LacksError) Error() string {
	return fmt.Sprintf("this place has no %s: add it to the place file, or on the page Settings", e.Sort)
}

// Number reads what somebody typed into a field that asks for a number, as
// figure.Read does. Want says what would be right, to follow "give ". The error
// is a *FieldError.
func Number(field, value, want string) (float64, error) {
	x, err := figure.Read(value)
	return x, NotANumber(field, value, want, err)
}

// NotANumber says which field holds what package figure refused, and why; nil
// where err is.
func NotANumber(field, value, want string, err error) error {
	if err == nil {
		return nil
	}
	var refused *figure.ReadError
	if errors.As(err, &refused) && refused.Why != "" {
		want += "; " + refused.Why
	}
	return &FieldError{Field: field, Value: value, Want: want}
}

// choice checks that a word is one of those a field knows.
func choice(field, value string, known []string) error {
	if slices.Contains(known, value) {
		return nil
	}
	return &FieldError{Field: field, Value: value, Want: "one of " + OneOf(value, known)}
}

// OneOf lists words, and asks for the one that was likely meant by a word that is
// none of them.
func OneOf(word string, known []string) string {
	list := strings.Join(known, ", ")
	if near := Nearest(word, known); near != "" {
		list += "; did you mean " + near + "?"
	}
	return list
}

// between checks that a number lies in the range a field can take; low and high
// are allowed themselves. NaN never lies in a range.
func between(field string, value, low, high float64, unit string) error {
	if value >= low && value <= high {
		return nil
	}
	return &FieldError{
		Field: field,
		Value: fmt.Sprint(value),
		Want:  strings.TrimSpace(fmt.Sprintf("%v to %v %s", low, high, unit)),
	}
}

// identifier checks a stable id: lower-case letters, digits and hyphens, so
// that it can stand in a command, an address and a calendar's UID unchanged.
func identifier(field, id string) error {
	ok := id != "" && len(id) <= 40 && id[0] != '-' && id[len(id)-1] != '-'
	for _, r := range id {
		ok = ok && (r == '-' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z')
	}
	if !ok {
		return &FieldError{Field: field, Value: id, Want: "a short name of lower-case letters, digits and hyphens, such as kitchen-machine"}
	}
	return nil
}

// name is a check of a name for people: any script, in one line and without tabs or
// other control characters, since it stands in tables, headings and calendars.
func name(field, value string, most int) error {
	if len([]rune(value)) > most || strings.ContainsFunc(value, func(r rune) bool { return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' }) {
		return &FieldError{Field: field, Value: value, Want: fmt.Sprintf("at most %d characters in one line, without tabs", most)}
	}
	return nil
}

// text is a check of a text for people: any script, no control characters but ends of
// lines and tabs.
func text(field, value string, most int) error {
	if len([]rune(value)) > most || strings.ContainsFunc(value, func(r rune) bool { return r < ' ' && r != '\n' && r != '\t' || r == 0x7f }) {
		return &FieldError{Field: field, Value: value, Want: fmt.Sprintf("at most %d characters without control characters", most)}
	}
	return nil
}

// within puts the name of the thing a field belongs to before the field's.
func within(prefix string, err error) error {
	return EachMistake(err, func(wrong FieldError) FieldError {
		wrong.Field = prefix + "." + wrong.Field
		return wrong
	})
}
