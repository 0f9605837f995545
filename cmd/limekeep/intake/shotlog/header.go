package shotlog

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/schedule/record"
)

// columnKind is what a column of a shot log holds.
type columnKind int

const (
	skippedColumn columnKind = iota
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

// columns are the columns that a shot log can have, each with other names
// that are understood.
var columns = []struct {
	column columnKind
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
	names := make([]string, len(columns))
	for i, c := range columns {
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
func columnNamed(name string) (columnKind, bool) {
	plain := plainName(name)
	for _, c := range columns {
		if plain == plainName(c.name) || slices.Contains(c.also, plain) {
			return c.column, true
		}
	}
	return skippedColumn, false
}

// header is the header of a shot log, understood.
type header struct {
	columns []columnKind // by cell
	names   []string     // as the file writes them
}

// readHeader reads the header of a file.
func readHeader(r *csvfile.Reader, options Options) (header, error) {
	cells, err := readText(r)
	if errors.Is(err, io.EOF) {
		return header{}, &record.FieldError{Field: "file", Want: "a header row, then a row for each shot or day"}
	}
	if err != nil {
		return header{}, fmt.Errorf("header: %w", err)
	}
	mapped, err := mappedColumns(options.Mapped)
	if err != nil {
		return header{}, err
	}
	var h header
	for i, c := range cells {
		name := strings.TrimSpace(string(c))
		column, err := h.columnOf(name, mapped, options)
		if err != nil {
			return header{}, headerError(i, name, err)
		}
		h.columns = append(h.columns, column)
		h.names = append(h.names, name)
	}
	for name := range maps.Keys(mapped) {
		if !slices.ContainsFunc(h.names, func(n string) bool { return strings.EqualFold(n, name) }) {
			return header{}, &record.FieldError{Field: "--map", Value: name, Want: "a column of the file: " + strings.Join(h.names, ", ")}
		}
	}
	if !h.has(dateColumn) {
		return header{}, &record.FieldError{Field: "header", Value: strings.Join(h.names, ", "), Want: "a column named date, or --map date=NAME"}
	}
	return h, nil
}

// mappedColumns turns the map round: from the file's names, in lower case, to
// columns.
func mappedColumns(mapped map[string]string) (map[string]columnKind, error) {
	columns := map[string]columnKind{}
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
func (h *header) columnOf(name string, mapped map[string]columnKind, options Options) (columnKind, error) {
	ignored := func(n string) bool {
		return slices.ContainsFunc(options.Ignore, func(i string) bool { return strings.EqualFold(strings.TrimSpace(i), n) })
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

func (h header) has(c columnKind) bool { return slices.Contains(h.columns, c) }

// where names a column as a person finds it: its number and its name.
func (h header) where(i int) string {
	if i >= len(h.names) {
		return fmt.Sprintf("column %d", i+1)
	}
	return fmt.Sprintf("column %d, %s", i+1, h.names[i])
}

// locate gives the field of an error its column, where it is the name of one.
func (h header) locate(err error) error {
	var wrong *record.FieldError
	if !errors.As(err, &wrong) {
		return err
	}
	for _, c := range columns {
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
func (h header) lists() string {
	var parts []string
	for i, c := range h.columns {
		ours := "passed over"
		for _, u := range columns {
			if u.column == c {
				ours = u.name
			}
		}
		parts = append(parts, fmt.Sprintf("%s: %s", h.names[i], ours))
	}
	return strings.Join(parts, "; ")
}
