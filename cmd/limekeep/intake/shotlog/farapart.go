package shotlog

import (
	"errors"

	"limekeep/schedule/record"
)

// FarApart says what is wrong with a file that has rows of one instant so far from
// each other that they could not be told apart.
func FarApart(err error) error {
	var wrong *record.FieldError
	if errors.As(err, &wrong) && wrong.Field == "ordinal" {
		return &record.FieldError{Field: "rows", Value: "two of the same day and minute, far from each other", Want: "a file in the order of time; this one may hold its rows twice"}
	}
	return err
}
