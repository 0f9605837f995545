// Package interview asks a new owner about a place and its machine, and makes a
// setup of the answers. Each question can be left with "I don't know": what follows
// then is assumed, and said. The doors show the questions; here is what is asked, in
// which order, how an answer is read, and what not to know costs.
package interview

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// Question is one of them, with what can be answered.
type Question struct {
	ID      string
	Ask     string
	Help    string   // a sentence more; empty for none
	Kind    Kind     // how it is answered
	Options []Option // of a choice
	Usual   string   // an answer to begin with; empty for none
	Unknown string   // what is assumed by those who do not know
	cost    cost     // what not knowing costs
}

// Option is one answer of a choice.
type Option struct {
	Value   string
	Label   string
	Drawing string // name of a simple drawing; empty for none
}

// cost is what not to know an answer leaves open.
type cost int

// What an answer that nobody knows leaves open; the zero cost is what is assumed.
const (
	costsScale cost = iota + 1 // how fast scale gathers
	costsCare                  // when work was last done
)

// Kind tells how a question is answered.
type Kind string

// Kinds of question.
const (
	Choice Kind = "choice"
	Number Kind = "number"
	Day    Kind = "day"    // or a month, or a year
	Text   Kind = "text"   // a line
	Volume Kind = "volume" // litres, or with a unit behind it
)

// DontKnow is the answer of those who do not know.
const DontKnow = "?"

// Answers are what was answered so far, by the id of the question.
type Answers map[string]string

// known returns an answer, and whether somebody knew it.
func (a Answers) known(id string) (string, bool) {
	is := a[id]
	return is, is != "" && is != DontKnow
}

// is reports whether a question got one of some answers.
func (a Answers) is(id string, values ...string) bool { return slices.Contains(values, a[id]) }

// Next returns the first question that was not answered yet; false at the end.
func (a Answers) Next(zone string) (Question, bool) {
	for _, q := range Questions(a, zone) {
		if a[q.ID] == "" {
			return q, true
		}
	}
	return Question{}, false
}

// Read reads an answer as it was typed and returns it as it is kept: the value of a
// choice, by its value, its label or its number; else what was typed. Nothing, a
// question mark and "I don't know" are DontKnow. today bounds the days. The error is a
// *record.FieldError.
func (q Question) Read(typed string, today record.Date) (string, error) {
	typed = strings.TrimSpace(typed)
	switch strings.ToLower(strings.ReplaceAll(typed, "’", "'")) {
	case "", DontKnow, "i don't know", "don't know", "unknown":
		return DontKnow, nil
	}
	switch q.Kind {
	case Choice:
		return q.chosen(typed)
	case Number, Volume:
		n, err := figure.Read(typed)
		if q.Kind == Volume {
			n, _, err = volume(q.ID, typed, q.Usual)
		}
		switch {
		case err != nil && q.Kind == Volume:
			return "", err
		case err != nil:
			return "", record.NotANumber(q.ID, typed, "a number, such as "+q.Usual, err)
		}
		if q.ID == "litres" && n > 0 {
			if n < 1 || n > mostRatedLitres {
				return "", &record.FieldError{Field: q.ID, Value: typed, Want: "1 to 1000000 litres"}
			}
			return typed, nil
		}
		if n < 0 || n > 3000 {
			return "", &record.FieldError{Field: q.ID, Value: typed, Want: "0 to 3000"}
		}
		if q.ID == "cups" && n == 0 {
			return "", &record.FieldError{Field: q.ID, Value: typed, Want: "how many it makes when it is used, 0.1 or so for one now and then"}
		}
		if q.ID == "hot" && n > 200 {
			return "", &record.FieldError{Field: q.ID, Value: typed, Want: "litres a day, 0 to 200"}
		}
	case Day:
		on, err := roughDay(q.ID, typed)
		if err != nil {
			return "", err
		}
		if begins(typed) > today || on < record.NewDate(1900, 1, 1) {
			return "", &record.FieldError{Field: q.ID, Value: typed, Want: "a day, month or year not after today, " + today.String()}
		}
	case Text:
		if len([]rune(typed)) > 200 || strings.ContainsAny(typed, "\n\r\t") {
			return "", &record.FieldError{Field: q.ID, Value: typed, Want: "a line of at most 200 characters"}
		}
		switch q.ID {
		case "zone":
			if zone, err := time.LoadLocation(typed); err != nil || zone == time.Local {
				return "", &record.FieldError{Field: q.ID, Value: typed, Want: "a time zone of the IANA database, such as Europe/Vienna or Asia/Kolkata"}
			}
		case "hardness", "alkalinity":
			if _, err := measured(water.Hardness, typed); err != nil {
				return "", err
			}
		}
	}
	return typed, nil
}

// chosen finds an option by its value, its label or its number.
func (q Question) chosen(typed string) (string, error) {
	if n, err := strconv.Atoi(typed); err == nil && n >= 1 && n <= len(q.Options) {
		return q.Options[n-1].Value, nil
	}
	var values []string
	for _, o := range q.Options {
		if strings.EqualFold(typed, o.Value) || strings.EqualFold(typed, o.Label) {
			return o.Value, nil
		}
		values = append(values, o.Value)
	}
	return "", &record.FieldError{Field: q.ID, Value: typed, Want: fmt.Sprintf("a number from 1 to %d, or one of %s", len(q.Options), record.OneOf(typed, values))}
}

// roughDay reads a day, a month or a year; of the last two their middle.
func roughDay(field, typed string) (record.Date, error) {
	if t, err := time.Parse("2006", typed); err == nil {
		return record.NewDate(t.Year(), 7, 1), nil
	}
	if t, err := time.Parse("2006-01", typed); err == nil {
		return record.NewDate(t.Year(), t.Month(), 15), nil
	}
	on, err := record.ParseDate(typed)
	if err != nil {
		return 0, &record.FieldError{Field: field, Value: typed, Want: "a day, a month or a year, such as 2026-03-31, 2026-03 or 2026"}
	}
	return on, nil
}

// begins returns the first day of what was typed as a day, a month or a year.
func begins(typed string) record.Date {
	for len(typed) < len("2006-01-02") {
		typed += "-01"
	}
	on, err := record.ParseDate(typed)
	if err != nil {
		return 0
	}
	return on
}

// day returns a day that was answered, today at the latest; zero where nobody knew.
func (a Answers) day(id string, today record.Date) record.Date {
	typed, ok := a.known(id)
	if !ok {
		return 0
	}
	on, err := roughDay(id, typed)
	if err != nil {
		return 0
	}
	return min(on, today)
}

// number returns a number that was answered; false where nobody knew.
func (a Answers) number(id string) (float64, bool) {
	typed, ok := a.known(id)
	if !ok {
		return 0, false
	}
	n, err := figure.Read(typed)
	return n, err == nil
}

// measured reads a value of a water test with its unit; German degrees where there is
// none.
func measured(q water.Quantity, typed string) (water.Measured, error) {
	m := water.Measured{Quantity: q, Method: water.MethodDrop, Unit: water.GermanDegree}
	digits := strings.IndexFunc(typed, func(r rune) bool { return !strings.ContainsRune("0123456789.,", r) })
	if digits < 0 {
		digits = len(typed)
	}
	value, err := figure.Read(typed[:digits])
	if err != nil {
		return m, record.NotANumber(string(q), typed, `a number and its unit, such as "12 dH" or "210 mg/L CaCO3"`, err)
	}
	m.Value = value
	if unit := strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(typed[digits:]), "°")); unit != "" {
		if m.Unit, err = water.ParseUnit(unit); err != nil {
			return m, &record.FieldError{Field: string(q), Value: typed, Want: `a number and its unit, such as "12 dH" or "210 mg/L CaCO3"`}
		}
	}
	if err := m.Validate(); err != nil {
		return m, &record.FieldError{Field: string(q), Value: typed, Want: `what a water can have, such as "12 dH" or "210 mg/L CaCO3"`}
	}
	return m, nil
}
