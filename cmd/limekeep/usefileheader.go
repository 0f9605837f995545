package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"limekeep/schedule/record"
)

// useColumn is what a column of a file of use holds.
type useColumn int

const (
	skippedColumn useColumn = iota
	dateColumn
	timeColumn
	shotsColumn
	doseColumn
	yieldColumn
	secondsColumn
	steamedColumn
	hotWaterColumn
	grindColumn
	drinkColumn
	beansColumn
	noteColumn
)

// useColumns are the columns that a file of use can have, each with other names
// that are understood.
var useColumns = []struct {
	column useColumn
	name   string
	also   []string
}{
	{dateColumn, "date", []string{"datetime", "day", "timestamp"}},
	{timeColumn, "time", []string{"timeofday", "clock"}},
	{shotsColumn, "shots", []string{"count"}},
	{doseColumn, "dose_g", []string{"dose", "dosegrams", "in", "ing"}},
	{yieldColumn, "yield_g", []string{"yield", "yieldgrams", "out", "outg"}},
	{secondsColumn, "seconds", []string{"sec", "secs", "s", "shottime", "duration"}},
	{steamedColumn, "steamed", []string{"milk"}},
	{hotWaterColumn, "hot_water_l", []string{"hotwater", "hotwaterlitres"}},
	{grindColumn, "grind", []string{"grindsetting", "setting"}},
	{drinkColumn, "drink", []string{"drinks", "type"}},
	{beansColumn, "beans", []string{"bean", "coffee"}},
	{noteColumn, "note", []string{"notes", "comment", "comments"}},
}

// columnNames lists the names of the columns.
func columnNames() []string {
	names := make([]string, len(useColumns))
	for i, c := range useColumns {
		names[i] = c.name
	}
	return names
}

// plainName writes "Grind setting", "grind_setting" and "Grind-Setting" alike.
func plainName(cell string) string {
	return strings.ToLower(strings.Map(func(r rune) rune {
		if strings.ContainsRune(" \t_-()[].:", r) {
			return -1
		}
		return r
	}, cell))
}

// columnNamed finds a column by one of its names.
func columnNamed(name string) (useColumn, bool) {
	plain := plainName(name)
	for _, c := range useColumns {
		if plain == plainName(c.name) || slices.Contains(c.also, plain) {
			return c.column, true
		}
	}
	return skippedColumn, false
}

// useHeader is the header of a file of use, understood.
type useHeader struct {
	columns []useColumn // by cell
	names   []string    // as the file writes them
}

// headerOptions say how the columns of a header are to be taken.
type headerOptions struct {
	mapped map[string]string // from our name of a column to the file's
	ignore []string          // names in the file that are passed over; "*" is every name not known
}

// readUseHeader reads the header of a file.
func readUseHeader(s *useScanner, options headerOptions) (useHeader, error) {
	cells, err := s.read()
	if errors.Is(err, io.EOF) {
		return useHeader{}, &record.FieldError{Field: "file", Want: "a header row, then a row for each shot or day"}
	}
	if err != nil {
		return useHeader{}, fmt.Errorf("header: %w", err)
	}
	mapped, err := mappedColumns(options.mapped)
	if err != nil {
		return useHeader{}, err
	}
	var h useHeader
	for i, c := range cells {
		name := strings.TrimSpace(string(c))
		column, err := h.columnOf(name, mapped, options)
		if err != nil {
			return useHeader{}, headerError(i, name, err)
		}
		h.columns = append(h.columns, column)
		h.names = append(h.names, name)
	}
	for name := range maps.Keys(mapped) {
		if !slices.ContainsFunc(h.names, func(n string) bool { return strings.EqualFold(n, name) }) {
			return useHeader{}, &record.FieldError{Field: "--map", Value: name, Want: "a column of the file: " + strings.Join(h.names, ", ")}
		}
	}
	if !h.has(dateColumn) {
		return useHeader{}, &record.FieldError{Field: "header", Value: strings.Join(h.names, ", "), Want: "a column named date, or --map date=NAME"}
	}
	return h, nil
}

// mappedColumns turns the map round: from the file's names, in lower case, to
// columns.
func mappedColumns(mapped map[string]string) (map[string]useColumn, error) {
	columns := map[string]useColumn{}
	for _, ours := range slices.Sorted(maps.Keys(mapped)) {
		column, ok := columnNamed(ours)
		if !ok {
			return nil, &record.FieldError{Field: "--map", Value: ours, Want: "one of " + strings.Join(columnNames(), ", ") + " before the ="}
		}
		theirs := strings.ToLower(strings.TrimSpace(mapped[ours]))
		if _, twice := columns[theirs]; twice || theirs == "" {
			return nil, &record.FieldError{Field: "--map", Value: ours + "=" + mapped[ours], Want: "another column of the file behind each ="}
		}
		columns[theirs] = column
	}
	return columns, nil
}

// columnOf understands one name of the header.
func (h *useHeader) columnOf(name string, mapped map[string]useColumn, options headerOptions) (useColumn, error) {
	ignored := func(n string) bool {
		return slices.ContainsFunc(options.ignore, func(i string) bool { return strings.EqualFold(strings.TrimSpace(i), n) })
	}
	column, ok := mapped[strings.ToLower(name)]
	if !ok {
		if ignored(name) {
			return skippedColumn, nil
		}
		column, ok = columnNamed(name)
		for _, m := range mapped {
			if m == column { // the map says that another column is the one
				ok = false
			}
		}
	}
	switch {
	case !ok && (ignored("*") || name == ""):
		return skippedColumn, nil
	case !ok:
		return 0, &record.FieldError{Want: "one of " + strings.Join(columnNames(), ", ") +
			"; name it with --map, such as --map 'dose_g=" + name + "', or pass it over with --ignore '" + name + "'"}
	case slices.Contains(h.columns, column):
		return 0, &record.FieldError{Want: "each column once"}
	}
	return column, nil
}

func headerError(i int, name string, err error) error {
	var wrong *record.FieldError
	if !errors.As(err, &wrong) {
		return err
	}
	named := *wrong
	named.Field, named.Value = fmt.Sprintf("header, column %d", i+1), name
	return &named
}

func (h useHeader) has(c useColumn) bool { return slices.Contains(h.columns, c) }

// where names a column as a person finds it: its number and its name.
func (h useHeader) where(i int) string {
	if i >= len(h.names) {
		return fmt.Sprintf("column %d", i+1)
	}
	return fmt.Sprintf("column %d, %s", i+1, h.names[i])
}

// locate gives the field of an error its column, where it is the name of one.
func (h useHeader) locate(err error) error {
	var wrong *record.FieldError
	if !errors.As(err, &wrong) {
		return err
	}
	for _, c := range useColumns {
		if c.name != wrong.Field {
			continue
		}
		if i := slices.Index(h.columns, c.column); i >= 0 {
			named := *wrong
			named.Field = h.where(i)
			return &named
		}
	}
	return err
}

// lists tells how each column was understood, for people.
func (h useHeader) lists() string {
	var parts []string
	for i, c := range h.columns {
		ours := "passed over"
		for _, u := range useColumns {
			if u.column == c {
				ours = u.name
			}
		}
		parts = append(parts, fmt.Sprintf("%s: %s", h.names[i], ours))
	}
	return strings.Join(parts, "; ")
}
