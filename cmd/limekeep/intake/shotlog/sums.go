package shotlog

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"limekeep/schedule/record"
)

// sums adds up the columns of figures, so that a row of sums without a word is
// known for what it is.
type sums struct {
	rows  int
	total [lastColumn + 1]float64
}

func (s *sums) add(figures []float64) {
	s.rows++
	for i, x := range figures {
		s.total[i] += x
	}
}

// isTotal reports whether a figure is the sum or the mean of its column so far,
// as a spreadsheet shows it.
func (s *sums) isTotal(column columnKind, x float64) bool {
	total := s.total[column]
	near := func(of float64) bool { return of != 0 && math.Abs(x-of) <= max(0.0051*math.Abs(of), 0.051) }
	return s.rows > 1 && (near(total) || near(total/float64(s.rows)))
}

// sumWords begin rows of sums and means.
var sumWords = []string{
	"total", "totals", "grand total", "subtotal", "sum", "sums", "average", "avg", "mean", "median", "count", "min", "max", "σ", "∑",
	"summe", "gesamt", "gesamtsumme", "zwischensumme", "durchschnitt", "mittelwert", "schnitt", "somme", "moyenne", "totale", "somma", "media", "suma", "promedio", "soma", "média", "totaal", "som", "gemiddelde",
}

// sumWord reports whether a cell says that its row holds sums.
func sumWord(cell []byte) bool {
	text := strings.TrimRight(strings.ToLower(string(bytes.TrimSpace(cell))), ": ")
	return slices.Contains(sumWords, text)
}

// passedOver counts rows that are no use.
type passedOver struct {
	titles, headers, sums int
	firstSum              int // its row
	unsaid, unsaidLine    int // row and line of the first that holds sums without a word, 0 for none
}

// notes tells what was passed over.
func (p passedOver) notes() []string {
	var notes []string
	tell := func(n int, one, more string) {
		switch {
		case n == 1:
			notes = append(notes, "passed over "+one)
		case n > 1:
			notes = append(notes, fmt.Sprintf("passed over "+more, n))
		}
	}
	tell(p.titles, "a line before the header", "%d lines before the header")
	tell(p.headers, "a row that is the header once more", "%d rows that are the header once more")
	tell(p.sums, fmt.Sprintf("row %d, which holds sums", p.firstSum), fmt.Sprintf("%%d rows of sums, the first of them row %d", p.firstSum))
	return notes
}

// isUse reports whether a row tells of use. The header once more and sums do
// not.
func (f *Log) isUse(cells [][]byte) bool {
	at := f.header.index(dateColumn)
	if at >= len(cells) {
		return true
	}
	date := bytes.TrimSpace(cells[at])
	if len(date) > 0 && digit(date[0]) {
		return true
	}
	if len(date) > 0 && f.header.repeats(cells) {
		f.passed.headers++
		return false
	}
	if f.isSums(cells, date) {
		if f.passed.sums++; f.passed.sums == 1 {
			f.passed.firstSum = f.row
		}
		if f.passed.unsaid == 0 && !slices.ContainsFunc(cells, sumWord) {
			f.passed.unsaid, f.passed.unsaidLine = f.row, f.line
		}
		return false
	}
	return true
}

// isSums reports whether a row without a date holds sums: it says so, or its
// figures are those of the columns above and it says nothing else.
func (f *Log) isSums(cells [][]byte, date []byte) bool {
	if sumWord(date) {
		return true
	}
	if len(date) > 0 {
		return false
	}
	totals, others := 0, 0
	for i, cell := range cells {
		if i >= len(f.header.columns) {
			break
		}
		cell = bytes.TrimSpace(cell)
		column := f.header.columns[i]
		switch {
		case len(cell) == 0:
		case sumWord(cell):
			return true
		case column == shotsColumn, column == doseColumn, column == yieldColumn, column == secondsColumn, column == steamedColumn, column == hotWaterColumn:
			var raw rawRow
			var row record.UseRow
			if f.parseCell(&row, &raw, column, i, cell) == nil && f.sums.isTotal(column, raw.figures[column]) {
				totals++
			} else {
				others++
			}
		default:
			others++
		}
	}
	return totals > 0 && others == 0
}
