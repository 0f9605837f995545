package record

import (
	"fmt"
	"strings"
)

// The checks of a kind of record are written as a table: a line for each field
// with its name, its value, what it can be and how that is said. Each line gives
// nil or the error of its field, and AllOf all of them, in the order in which people
// meet the fields; of lines about one field the first that has something to say
// speaks.

// where takes a line of a table only where it applies.
func where(applies bool, check error) error {
	if applies {
		return check
	}
	return nil
}

// refuse is a line that holds what cannot be; the value is shown, "" for none.
func refuse(is bool, field string, value any, want string) error {
	if !is {
		return nil
	}
	return &FieldError{Field: field, Value: fmt.Sprint(value), Want: want}
}

// required is a line for text that must not be left out.
func required(field, value, want string) error {
	return refuse(strings.TrimSpace(value) == "", field, "", want)
}

// notBefore is a line for a day that another must not come after.
func notBefore(field string, day, first Date, want string) error {
	return refuse(day < first, field, day, want+first.String())
}

// optional is a line for a figure that may be left out, as 0.
func optional(field string, value, low, high float64, unit string) error {
	return where(value != 0, between(field, value, low, high, unit))
}

// optionalChoice is a line for a word that may be left out.
func optionalChoice(field, value string, known []string) error {
	return where(value != "", choice(field, value, known))
}

// each is a line for a list: check looks at one item, and knows those before it.
func each[T any](field string, items []T, check func(item T, before []T) error) error {
	var all []error
	for i, item := range items {
		all = append(all, within(fmt.Sprintf("%s[%d]", field, i), check(item, items[:i])))
	}
	return AllOf(all...)
}

// eachWord is a line for a list of words, of which check looks at one under the
// name that it has there.
func eachWord[T any](field string, items []T, check func(name string, item T, before []T) error) error {
	var all []error
	for i, item := range items {
		all = append(all, check(fmt.Sprintf("%s[%d]", field, i), item, items[:i]))
	}
	return AllOf(all...)
}

// justOne reports whether one of some things is said, and no other.
func justOne(said ...bool) bool {
	n := 0
	for _, is := range said {
		if is {
			n++
		}
	}
	return n == 1
}
