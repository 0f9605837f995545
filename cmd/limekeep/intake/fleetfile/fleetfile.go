// Package fleetfile reads the table in which whoever has many places says what is true of
// each of them: a row a place, a column a field of its place file.
package fleetfile

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/schedule/record"
)

// File is a table as it was read.
type File struct {
	Columns []Column
	Rows    []Row
}

// Row is one place.
type Row struct {
	Line   int    // of the file, from 1
	Place  string // its id
	Values []placefile.Value
	from   map[string]string // the heading of each field
}

// Heading returns the heading of the column that a field of the place came from; false for
// a field that came from none.
func (r Row) Heading(field string) (string, bool) {
	heading, ok := r.from[field]
	return heading, ok
}

// Bounds of a table: a chain of ten thousand places, each with more columns than anybody
// fills in.
const (
	mostBytes    = 16 << 20
	mostRows     = 10_000
	mostColumns  = 200
	mostMistakes = 200
)

// Read reads a table as spreadsheets save it: in UTF-8 or UTF-16, with commas, semicolons
// or tabs, whatever ends its lines. A cell that is left open says nothing. All that is
// wrong with it is told at once, with the line: the error is a *record.FieldError or
// record.MistakesError; the rows that could be read come with it.
func Read(in io.Reader) (File, error) {
	bounded := &io.LimitedReader{R: in, N: mostBytes + 1}
	reader, err := csvfile.Open(bounded)
	if err != nil {
		return File{}, err
	}
	t := &table{lines: map[string]int{}}
	for {
		cells, err := reader.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if bounded.N == 0 {
			return File{}, &record.FieldError{Field: "file", Value: "more than 16 MiB", Want: "a row a place, ten thousand at most"}
		}
		if err == nil {
			err = csvfile.CheckText(cells)
		}
		if err != nil {
			if errors.Is(err, csvfile.ErrTooLong) {
				return File{}, err
			}
			t.wrong(reader.Line(), "row", err)
			continue
		}
		if !t.take(reader.Line(), cells) {
			break
		}
	}
	if len(t.file.Columns) == 0 && len(t.mistakes) == 0 {
		return File{}, &record.FieldError{Field: "file", Want: "a first line of headings, place among them, and a line for each place"}
	}
	if len(t.file.Rows) == 0 && len(t.mistakes) == 0 {
		return File{}, &record.FieldError{Field: "file", Value: "headings alone", Want: "a line for each place below them"}
	}
	return t.file, record.AllOf(t.mistakes...)
}

// table is a file while it is read.
type table struct {
	file     File
	lines    map[string]int // of the places that came
	mistakes []error
}

// wrong notes a mistake of a line under a name that no other line has.
func (t *table) wrong(line int, field string, err error) {
	if len(t.mistakes) >= mostMistakes {
		return
	}
	t.mistakes = append(t.mistakes, record.EachMistake(err, func(m record.FieldError) record.FieldError {
		m.Line, m.Field = line, fmt.Sprintf("%s %d", field, line)
		return m
	}))
}

// take takes the next line; false where nothing behind it can be read.
func (t *table) take(line int, cells [][]byte) bool {
	if blank(cells) {
		return true
	}
	if len(t.file.Columns) == 0 {
		return t.headings(line, cells)
	}
	if len(t.file.Rows) == mostRows {
		t.wrong(line, "row", &record.FieldError{Value: "more rows", Want: fmt.Sprintf("%d places at most", mostRows)})
		return false
	}
	row := Row{Line: line, from: map[string]string{}}
	for i, cell := range cells {
		text := cellText(cell)
		switch {
		case text == "":
		case i >= len(t.file.Columns):
			t.wrong(line, "row", &record.FieldError{Value: fmt.Sprintf("%d cells", len(cells)), Want: fmt.Sprintf("the %d that have a heading", len(t.file.Columns))})
			return true
		default:
			for _, field := range t.file.Columns[i].Fields {
				row.Values = append(row.Values, placefile.Value{Field: field, Text: text})
				row.from[field] = t.file.Columns[i].Heading
				if field == idField {
					row.Place = text
				}
			}
		}
	}
	if row.Place == "" {
		t.wrong(line, "place of row", &record.FieldError{Want: "an id for each place, such as " + t.suggested(row)})
		return true
	}
	if before, ok := t.lines[row.Place]; ok {
		t.wrong(line, "place of row", &record.FieldError{Value: row.Place, Want: fmt.Sprintf("each place once: line %d has it already", before)})
		return true
	}
	t.lines[row.Place] = line
	t.file.Rows = append(t.file.Rows, row)
	return true
}

// headings takes the first line; false where it cannot be read.
func (t *table) headings(line int, cells [][]byte) bool {
	if len(cells) > mostColumns {
		t.wrong(line, "row", &record.FieldError{Value: fmt.Sprintf("%d columns", len(cells)), Want: fmt.Sprintf("%d at most", mostColumns)})
		return false
	}
	seen := map[string]string{} // heading by field
	for _, cell := range cells {
		c, err := columnOf(cellText(cell))
		for _, field := range c.Fields {
			if other, ok := seen[field]; ok && err == nil {
				err = &record.FieldError{Value: c.Heading, Want: fmt.Sprintf("each field once: it is in the column %q as well", other)}
			}
			seen[field] = c.Heading
		}
		if err != nil {
			t.mistakes = append(t.mistakes, record.EachMistake(err, func(m record.FieldError) record.FieldError {
				m.Line, m.Field = line, fmt.Sprintf("column %d", len(t.file.Columns)+1)
				return m
			}))
		}
		t.file.Columns = append(t.file.Columns, c)
	}
	if _, ok := seen[idField]; !ok && len(t.mistakes) == 0 {
		t.wrong(line, "row", &record.FieldError{Value: strings.Join(headingsOf(t.file.Columns), ", "), Want: "a column place, with the id of each"})
	}
	return len(t.mistakes) == 0
}

// suggested is an id for a row that has none, made of the name of the place.
func (t *table) suggested(row Row) string {
	name := ""
	for _, v := range row.Values {
		if v.Field == nameField {
			name = v.Text
		}
	}
	if id := IDFrom(name); id != "" {
		return id
	}
	return "cafe-1"
}

// IDFrom makes an id of a name: small letters, digits and hyphens. Empty where nothing of
// the name is left.
func IDFrom(name string) string {
	const most = 40
	var id strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			id.WriteRune(r)
		case plainLetters[r] != "":
			id.WriteString(plainLetters[r])
		case id.Len() > 0 && !strings.HasSuffix(id.String(), "-"):
			id.WriteByte('-')
		}
	}
	text := id.String()
	return strings.Trim(text[:min(most, len(text))], "-")
}

// plainLetters are letters of Latin scripts as an id has them.
var plainLetters = map[rune]string{
	'ä': "ae", 'ö': "oe", 'ü': "ue", 'ß': "ss", 'à': "a", 'á': "a", 'â': "a", 'å': "a", 'ã': "a", 'æ': "ae", 'ç': "c", 'č': "c", 'ć': "c",
	'è': "e", 'é': "e", 'ê': "e", 'ë': "e", 'ì': "i", 'í': "i", 'î': "i", 'ï': "i", 'ñ': "n", 'ò': "o", 'ó': "o", 'ô': "o", 'ø': "o", 'õ': "o",
	'š': "s", 'ù': "u", 'ú': "u", 'û': "u", 'ý': "y", 'ž': "z",
}

// cellText returns what a cell says: without blanks around it, and without the mark that
// keeps a spreadsheet from reading it as a formula.
func cellText(cell []byte) string {
	text := strings.TrimFunc(string(cell), func(r rune) bool { return unicode.IsSpace(r) || r == '\uFEFF' })
	return csvfile.Unguarded(text)
}

func blank(cells [][]byte) bool {
	for _, cell := range cells {
		if cellText(cell) != "" {
			return false
		}
	}
	return true
}
