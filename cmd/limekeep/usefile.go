package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// useColumns are the columns that a file of use can have.
var useColumns = []string{"date", "shots", "dose_g", "yield_g", "seconds", "steamed", "hot_water_l"}

// readUseFile reads a CSV file of use row by row. The first error ends it; it
// names the row, counted from 1 below the header, and the column.
func readUseFile(r io.Reader) iter.Seq2[record.UseRow, error] {
	return func(yield func(record.UseRow, error) bool) {
		reader := csv.NewReader(r)
		reader.ReuseRecord = true
		header, err := readUseHeader(reader)
		if err != nil {
			yield(record.UseRow{}, err)
			return
		}
		last := record.UseRow{Minute: -2} // no row has this
		for n := 1; ; n++ {
			cells, err := reader.Read()
			if errors.Is(err, io.EOF) {
				if n == 1 {
					yield(record.UseRow{}, &record.FieldError{Field: "file", Want: "at least one row below the header"})
				}
				return
			}
			row := record.UseRow{}
			if err == nil {
				row, err = parseUseRow(header, cells)
			} else {
				err = csvProblem(err, len(header))
			}
			if err != nil {
				yield(row, &schedule.RowError{Row: n, Err: err})
				return
			}
			// Rows of the same instant are told apart by their order.
			if row.Date == last.Date && row.Minute == last.Minute {
				row.Ordinal = last.Ordinal + 1
			}
			last = row
			if !yield(row, nil) {
				return
			}
		}
	}
}

func readUseHeader(reader *csv.Reader) ([]string, error) {
	cells, err := reader.Read()
	if errors.Is(err, io.EOF) {
		return nil, &record.FieldError{Field: "file", Want: "a header row, then a row for each shot or day"}
	}
	if err != nil {
		return nil, fmt.Errorf("header: %w", csvProblem(err, 0))
	}
	header := make([]string, len(cells))
	for i, c := range cells {
		name := strings.ToLower(strings.TrimSpace(strings.TrimPrefix(c, "\uFEFF")))
		if !slices.Contains(useColumns, name) {
			return nil, &record.FieldError{Field: fmt.Sprintf("header, column %d", i+1), Value: c, Want: "one of " + strings.Join(useColumns, ", ")}
		}
		if slices.Contains(header, name) {
			return nil, &record.FieldError{Field: fmt.Sprintf("header, column %d", i+1), Value: c, Want: "each column once"}
		}
		header[i] = name
	}
	if !slices.Contains(header, "date") {
		return nil, &record.FieldError{Field: "header", Value: strings.Join(header, ", "), Want: "a column named date"}
	}
	return header, nil
}

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

func parseUseRow(header, cells []string) (record.UseRow, error) {
	row := record.UseRow{Minute: -1, Shots: 1}
	for i, name := range header {
		cell := strings.TrimSpace(cells[i])
		if name == "date" {
			if err := parseUseDate(&row, cell); err != nil {
				return row, err
			}
			continue
		}
		if cell == "" {
			continue
		}
		value, err := parseNumber(cell)
		if err != nil || value != value {
			return row, &record.FieldError{Field: name, Value: cell, Want: "a number"}
		}
		switch name {
		case "shots":
			row.Shots = value
		case "dose_g":
			row.DoseGrams = value
		case "yield_g":
			row.YieldGrams = value
		case "seconds":
			row.Seconds = value
		case "steamed":
			row.Steamed = value
		case "hot_water_l":
			row.HotWaterLitres = value
		}
	}
	return row, nil
}

// parseUseDate reads a day, or a day with a time of the place's clock.
func parseUseDate(row *record.UseRow, cell string) error {
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05"} {
		if t, err := time.Parse(layout, cell); err == nil {
			row.Date, row.Minute = record.DateOf(t), t.Hour()*60+t.Minute()
			return nil
		}
	}
	date, err := record.ParseDate(cell)
	if err != nil {
		return &record.FieldError{Field: "date", Value: cell, Want: "a day such as 2026-03-31, or with a time, 2026-03-31 07:40"}
	}
	row.Date = date
	return nil
}
