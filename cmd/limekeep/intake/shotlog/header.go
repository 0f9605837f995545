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

// header is the header of a shot log, understood.
type header struct {
	columns []columnKind // by cell
	scales  []float64    // by cell: what a figure without a unit is multiplied by; 0 where the header names no unit
	names   []string     // as the file writes them
	titles  int          // lines with something else before it
}

// mostTitles is how many lines may stand before the header.
const mostTitles = 10

// readHeader reads the header of a file, behind a title where there is one.
func readHeader(r *csvfile.Reader, options Options) (header, error) {
	mapped, err := mappedColumns(options.Mapped, options.ways())
	if err != nil {
		return header{}, err
	}
	var first []string
	for n := range mostTitles {
		cells, err := readText(r)
		switch {
		case errors.Is(err, io.EOF) && n == 0:
			return header{}, &record.FieldError{Field: "file", Want: "a header row, then a row for each shot or day"}
		case err != nil && n == 0:
			return header{}, fmt.Errorf("header: %w", err)
		}
		names := trimmed(cells)
		if n == 0 {
			first = names
		}
		if err == nil && namesDate(names, mapped) {
			h, err := understand(names, mapped, options)
			h.titles = n
			return h, err
		}
		if err != nil || r.Guess() != nil {
			break
		}
	}
	// None of the lines is a header: what is wrong is told of the first.
	if slices.ContainsFunc(first, dateLike) {
		return header{}, &record.FieldError{Field: "header", Value: strings.Join(first, ", "),
			Want: "a first row that names the columns, such as date,dose_g,yield_g; this one is a row of figures"}
	}
	h, err := understand(first, mapped, options)
	if err == nil {
		err = &record.FieldError{Field: "header", Value: strings.Join(h.names, ", "), Want: "a column named date, or " + options.ways().Name("date", "NAME")}
	}
	return header{}, err
}

// ColumnNames returns the names that a file has for its columns, as far as it has a
// header: of the line that names the date, else of the first.
func ColumnNames(r io.Reader) ([]string, error) {
	reader, err := csvfile.Open(r)
	if err != nil {
		return nil, err
	}
	var first []string
	for n := range mostTitles {
		cells, err := readText(reader)
		switch {
		case errors.Is(err, io.EOF) && n == 0:
			return nil, &record.FieldError{Field: "file", Want: "a header row, then a row for each shot or day"}
		case err != nil && n == 0:
			return nil, fmt.Errorf("header: %w", err)
		case err != nil:
			return first, nil //nolint:nilerr // the reading proper says what is wrong further down
		}
		names := trimmed(cells)
		if namesDate(names, nil) {
			return names, nil
		}
		if n == 0 {
			first = names
		}
	}
	return first, nil
}

func trimmed(cells [][]byte) []string {
	names := make([]string, len(cells))
	for i, c := range cells {
		names[i] = strings.TrimSpace(string(c))
	}
	return names
}

// namesDate reports whether a row names the column of dates, which makes it the
// header.
func namesDate(names []string, mapped map[string]named) bool {
	told := slices.ContainsFunc(slices.Collect(maps.Values(mapped)), func(n named) bool { return n.column == dateColumn })
	return slices.ContainsFunc(names, func(name string) bool {
		if told {
			return mapped[strings.ToLower(name)].column == dateColumn
		}
		n, ok := columnNamed(name)
		return ok && n.column == dateColumn
	})
}

// dateLike reports whether a cell is a date rather than a name.
func dateLike(cell string) bool {
	text, _ := splitInstant([]byte(cell))
	_, ok := splitDate(text)
	return ok
}

// understand makes a header of the names of a row.
func understand(names []string, mapped map[string]named, options Options) (header, error) {
	h := header{names: names}
	likely := likelyName(names, mapped)
	for i, name := range names {
		column, err := h.columnOf(name, likely, mapped, options)
		if err != nil {
			return header{}, headerError(i, name, err)
		}
		h.columns = append(h.columns, column.column)
		h.scales = append(h.scales, column.scale)
	}
	for name := range mapped {
		if !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, name) }) {
			return header{}, &record.FieldError{Field: options.ways().Columns(), Value: name, Want: "a column of the file: " + strings.Join(names, ", ")}
		}
	}
	return h, nil
}

// likelyName returns what a column of an unknown name may be: the date, which a log cannot be
// without, or else the first of what logs have most that no other column is.
func likelyName(names []string, mapped map[string]named) string {
	if !namesDate(names, mapped) {
		return "date"
	}
	for _, likely := range []string{"dose_g", "yield_g", "seconds", "shots"} {
		column, _ := columnNamed(likely)
		there := slices.ContainsFunc(names, func(name string) bool {
			is, ok := mapped[strings.ToLower(name)]
			if !ok {
				is, ok = columnNamed(name)
			}
			return ok && is.column == column.column
		})
		if !there {
			return likely
		}
	}
	return "note"
}

// mappedColumns turns the map round: from the file's names, in lower case, to
// columns.
func mappedColumns(mapped map[string]string, ways Ways) (map[string]named, error) {
	columns := map[string]named{}
	for _, ours := range slices.Sorted(maps.Keys(mapped)) {
		column, ok := columnNamed(ours)
		if !ok {
			return nil, &record.FieldError{Field: ways.Columns(), Value: ours, Want: "one of " + strings.Join(columnNames(), ", ") + " before the ="}
		}
		theirs := strings.ToLower(strings.TrimSpace(mapped[ours]))
		if _, twice := columns[theirs]; twice || theirs == "" {
			return nil, &record.FieldError{Field: ways.Columns(), Value: ours + "=" + mapped[ours], Want: "another column of the file behind each ="}
		}
		columns[theirs] = column
	}
	return columns, nil
}

// columnOf understands one name of the header; likely is what one that is not known may be.
func (h *header) columnOf(name, likely string, mapped map[string]named, options Options) (named, error) {
	ignored := func(n string) bool {
		return slices.ContainsFunc(options.Ignore, func(i string) bool { return strings.EqualFold(strings.TrimSpace(i), n) })
	}
	column, ok := mapped[strings.ToLower(name)]
	if !ok {
		if ignored(name) {
			return named{}, nil
		}
		column, ok = columnNamed(name)
		for _, m := range mapped {
			if m.column == column.column { // the map says that another column is the one
				ok = false
			}
		}
	}
	switch {
	case !ok && ignored("*"):
		return named{}, nil
	case !ok && name == "":
		return named{column: namelessColumn}, nil
	case !ok && strings.ContainsAny(name, ";\t|"):
		return named{}, &record.FieldError{Want: "a header whose names are all parted by the same mark, commas or semicolons; the rows below it as well"}
	case !ok:
		return named{}, &record.FieldError{Want: "one of " + strings.Join(columnNames(), ", ") +
			fmt.Sprintf("; name it %s, such as %s, or pass it over %s", options.ways().Naming(), options.ways().Map(likely, name), options.ways().PassOver(name))}
	case slices.Contains(h.columns, column.column):
		return named{}, &record.FieldError{Want: "each column once"}
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

// index returns the cell of a column, -1 where there is none.
func (h header) index(c columnKind) int { return slices.Index(h.columns, c) }

// where names a column as a person finds it: its number and its name.
func (h header) where(i int) string {
	if i >= len(h.names) || h.names[i] == "" {
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
	if i := h.field(wrong.Field); i >= 0 {
		named := *wrong
		named.Field = h.where(i)
		return &named
	}
	return err
}

// field returns the cell that holds a field of a row, -1 where there is none.
func (h header) field(name string) int {
	for _, c := range columns {
		if c.field == name {
			return h.index(c.column)
		}
	}
	return -1
}

// lists tells how each column was understood, for people.
func (h header) lists() string {
	var parts []string
	for _, u := range h.understood() {
		parts = append(parts, fmt.Sprintf("%s: %s", u.Name, u.As))
	}
	return strings.Join(parts, "; ")
}

// Understood is a column of a file and what it was taken for, by our name of it.
type Understood struct {
	Name string `json:"name"`
	As   string `json:"as"`
}

func (h header) understood() []Understood {
	var all []Understood
	for i, c := range h.columns {
		ours := "passed over"
		for _, u := range columns {
			if u.column == c && (u.scale == 0 || u.scale == h.scales[i]) {
				ours = u.name
				break
			}
		}
		all = append(all, Understood{h.names[i], ours})
	}
	return all
}

// repeats reports whether a row is the header once more.
func (h header) repeats(cells [][]byte) bool {
	for i, name := range h.names {
		if i >= len(cells) || !strings.EqualFold(strings.TrimSpace(string(cells[i])), name) {
			return false
		}
	}
	return true
}
