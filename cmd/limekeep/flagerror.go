package main

import (
	"errors"

	"limekeep/schedule/record"
)

// rename names the field of an error as the person wrote it.
func rename(err error, field string) error {
	var wrong *record.FieldError
	if errors.As(err, &wrong) {
		named := *wrong
		named.Field = field
		return &named
	}
	return err
}
