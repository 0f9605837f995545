package main

import (
	"encoding/csv"
	"errors"
	"fmt"

	"limekeep/schedule/record"
)

// csvProblem says in plain words what the CSV reader stumbled over.
func csvProblem(err error, columns int) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		if errors.Is(parse.Err, csv.ErrFieldCount) {
			return &record.FieldError{Field: "row", Value: "another number of cells", Want: fmt.Sprintf("%d cells, as many as the header has", columns)}
		}
		return &record.FieldError{Field: "row", Value: parse.Err.Error(), Want: "cells parted by commas, quotes only around whole cells"}
	}
	return err
}
