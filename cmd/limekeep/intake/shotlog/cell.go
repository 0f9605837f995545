package shotlog

import (
	"bytes"
	"strconv"
	"strings"

	"limekeep/schedule/record"
)

// powersOfTen are exact as far as a number of 15 digits needs them.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// ParseFigure reads a number with a decimal point or comma, and the unit behind
// it where there is one of those given. Plain decimals are read without help:
// both the digits and the power of ten are exact, so that their quotient is
// rounded once, as strconv does.
func ParseFigure(cell []byte, units ...string) (float64, bool) {
	cell = bytes.TrimSpace(cell)
	for _, u := range units {
		if len(cell) > len(u) && strings.EqualFold(string(cell[len(cell)-len(u):]), u) {
			cell = bytes.TrimSpace(cell[:len(cell)-len(u)])
			break
		}
	}
	digits, decimals, mantissa := 0, -1, uint64(0)
	for _, c := range cell {
		switch {
		case c >= '0' && c <= '9':
			mantissa = mantissa*10 + uint64(c-'0')
			digits++
			if decimals >= 0 {
				decimals++
			}
		case (c == '.' || c == ',') && decimals < 0:
			decimals = 0
		default:
			return slowFigure(cell)
		}
		if digits > 15 {
			return slowFigure(cell)
		}
	}
	if digits == 0 {
		return 0, false
	}
	if decimals > 0 {
		return float64(mantissa) / powersOfTen[decimals], true
	}
	return float64(mantissa), true
}

// slowFigure reads what is not plain: signs, exponents, very many digits.
func slowFigure(cell []byte) (float64, bool) {
	text := string(cell)
	if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	if strings.ContainsAny(text, "xX_pPiInN") { // no hexadecimals, no infinities
		return 0, false
	}
	value, err := strconv.ParseFloat(text, 64)
	return value, err == nil
}

// parseSeconds reads a length of time: seconds, or minutes and seconds, 0:28.
func parseSeconds(cell []byte) (float64, bool) {
	if minutes, seconds, ok := bytes.Cut(cell, []byte{':'}); ok {
		m, okM := ParseFigure(minutes)
		s, okS := ParseFigure(seconds)
		return 60*m + s, okM && okS && s < 60
	}
	return ParseFigure(cell, "s", "sec", "seconds")
}

// formula tells whether a spreadsheet left a formula, or its failure, in a cell
// instead of a value.
func formula(cell []byte) bool {
	return len(cell) > 1 && (cell[0] == '=' || cell[0] == '@') || len(cell) > 2 && cell[0] == '#' && (bytes.HasSuffix(cell, []byte{'!'}) || bytes.HasSuffix(cell, []byte{'?'}) || bytes.Equal(cell, []byte("#N/A")))
}

func formulaError(where string, cell []byte) error {
	return &record.FieldError{Field: where, Value: string(cell), Want: "the value instead of the formula; save the sheet's values as CSV"}
}

// interner gives words that come again and again without a new copy of each.
type interner map[string]string

// mostInterned bounds what is held.
const mostInterned = 4096

func (n interner) text(b []byte) string {
	if len(b) == 0 {
		return ""
	}
	if s, ok := n[string(b)]; ok {
		return s
	}
	s := string(b)
	if len(n) >= mostInterned {
		clear(n)
	}
	n[s] = s
	return s
}
