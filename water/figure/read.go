package figure

import (
	"fmt"
	"strconv"
	"strings"
)

// Mark is the sign that a file or a person parts whole numbers from decimals
// with.
type Mark byte

// The marks. With Either a number may have a point or a comma.
const (
	Either Mark = 0
	Point  Mark = '.'
	Comma  Mark = ','
)

// ReadError says why a text is not taken as a number.
type ReadError struct {
	Text string // as it was written
	Why  string // what is wrong with it and what to write, a clause; empty for what is no number at all
}

// Error names the text and what is wrong with it.
func (e *ReadError) Error() string {
	if e.Why == "" {
		return fmt.Sprintf("%q is no number", e.Text)
	}
	return fmt.Sprintf("%q cannot be taken as a number: %s", e.Text, e.Why)
}

// Read reads a number as people type it: digits, a sign before them where there
// is one, and decimals behind a point or a comma. Marks between thousands,
// exponents and anything else are refused, and so is what could be read in two
// ways: three digits behind a comma may be thousands. Three digits behind a point
// are decimals, since the point is the mark that every answer is written with.
// The error is a *ReadError.
func Read(text string) (float64, error) {
	trimmed := typed(text)
	if i := strings.IndexAny(trimmed, "eE"); i > 0 && plain(trimmed[:i]) && isExponent(trimmed[i+1:]) {
		return 0, &ReadError{text, "write it without an exponent"}
	}
	return Either.Read(text)
}

// Read reads a number of a file whose decimal mark is m, or is not known. Beside
// what people type, programs that write files use exponents: 1.2E+03. Of the
// other mark nothing is guessed: it is refused, whether it may part thousands or
// not. The error is a *ReadError.
func (m Mark) Read(text string) (float64, error) {
	if x, ok := readPlain(m, text); ok {
		return x, nil
	}
	return m.readAny(text)
}

// ReadBytes is Read for a cell that is not a string yet. A plain number is read
// without a copy of it.
func (m Mark) ReadBytes(cell []byte) (float64, error) {
	if x, ok := readPlain(m, cell); ok {
		return x, nil
	}
	return m.readAny(string(cell))
}

// Of tells the mark that a number shows beyond doubt: Either for a whole number,
// for what may be thousands, and for what is no number.
func Of(text string) Mark {
	text = typed(text)
	if !plain(text) {
		return Either
	}
	point, comma := strings.Count(text, "."), strings.Count(text, ",")
	switch {
	case point+comma == 0, point > 1 && comma > 1:
		return Either
	case point > 1 || comma > 1 || point == 1 && comma == 1:
		// Thousands, or thousands and decimals: the last mark decides where it
		// stands alone.
		switch {
		case comma == 1 && strings.LastIndexByte(text, ',') > strings.LastIndexByte(text, '.'):
			return Comma
		case point == 1 && strings.LastIndexByte(text, '.') > strings.LastIndexByte(text, ','):
			return Point
		}
		return Either
	case mayBeThousands(text):
		return Either
	case comma == 1:
		return Comma
	}
	return Point
}

// powersOfTen are exact as far as a number of 15 digits needs them.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// readPlain reads a decimal of at most 15 digits without a sign. Both the digits
// and the power of ten are exact, so that their quotient is rounded once, as
// strconv does. It gives false for all else, for the other mark, and for what
// may be thousands.
func readPlain[T string | []byte](m Mark, text T) (float64, bool) {
	digits, decimals, mantissa := 0, -1, uint64(0)
	mark := Either
	for i := range len(text) {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
			mantissa = mantissa*10 + uint64(c-'0')
			if digits++; digits > 15 {
				return 0, false
			}
			if decimals >= 0 {
				decimals++
			}
		case (c == '.' || c == ',') && decimals < 0 && (m == Either || m == Mark(c)):
			mark, decimals = Mark(c), 0
		default:
			return 0, false
		}
	}
	if digits == 0 || m == Either && mark == Comma && decimals == 3 && float64(mantissa) >= 1e3 {
		return 0, false
	}
	if decimals > 0 {
		return float64(mantissa) / powersOfTen[decimals], true
	}
	return float64(mantissa), true
}

// readAny reads signs, exponents and very many digits, and says what is wrong
// with what is no number.
func (m Mark) readAny(text string) (float64, error) {
	trimmed := typed(text)
	if trimmed == "" {
		return 0, &ReadError{text, ""}
	}
	mantissa, exponent := trimmed, ""
	if i := strings.IndexAny(trimmed, "eE"); i > 0 {
		if mantissa, exponent = trimmed[:i], trimmed[i:]; !isExponent(exponent[1:]) {
			return 0, &ReadError{text, ""}
		}
	}
	if !plain(mantissa) || !strings.ContainsAny(mantissa, "0123456789") {
		return 0, &ReadError{text, ""}
	}
	point, comma := strings.Count(mantissa, "."), strings.Count(mantissa, ",")
	switch {
	case point+comma > 1:
		return 0, &ReadError{text, "write it without marks between thousands"}
	case m != Either && (m == Point && comma == 1 || m == Comma && point == 1):
		return 0, &ReadError{text, m.otherMark(mantissa)}
	case m == Either && comma == 1 && mayBeThousands(mantissa):
		return 0, &ReadError{text, "it " + twoWays(mantissa)}
	}
	x, err := strconv.ParseFloat(strings.Replace(mantissa, ",", ".", 1)+exponent, 64)
	if err != nil {
		return 0, &ReadError{text, "it is too large a number"}
	}
	return x + 0, nil // a zero has no sign
}

// typed returns a text without space around it, and with the minus sign of keyboards in
// place of that of typesetters.
func typed(text string) string {
	text = strings.TrimSpace(text)
	if rest, ok := strings.CutPrefix(text, "−"); ok {
		return "-" + rest
	}
	return text
}

// otherMark says what is wrong with a number that has the other mark than its
// file.
func (m Mark) otherMark(mantissa string) string {
	why := "the other numbers have a decimal point"
	if m == Comma {
		why = "the other numbers have a decimal comma"
	}
	if mayBeThousands(mantissa) {
		return why + ", and this one " + twoWays(mantissa)
	}
	return why
}

// twoWays gives both readings of a number with one mark that may part thousands.
func twoWays(mantissa string) string {
	mark := strings.IndexAny(mantissa, ".,")
	decimals := strings.TrimRight(mantissa[mark+1:], "0")
	if decimals == "" {
		decimals = "0"
	}
	return fmt.Sprintf("may be thousands or a fraction: write %s or %s", mantissa[:mark]+mantissa[mark+1:], mantissa[:mark]+"."+decimals)
}

// mayBeThousands reports whether the one mark of a number could part thousands:
// three digits follow it, and not only zeros stand before it.
func mayBeThousands(mantissa string) bool {
	mark := strings.IndexAny(mantissa, ".,")
	return mark >= 0 && len(mantissa)-mark-1 == 3 && strings.Trim(mantissa[:mark], "+-0") != ""
}

// plain reports whether a text holds nothing but digits and marks, with at most
// one sign, before them.
func plain(text string) bool {
	if text != "" && (text[0] == '+' || text[0] == '-') {
		text = text[1:]
	}
	return text != "" && strings.Trim(text, ".,0123456789") == ""
}

// isExponent reports whether what stands behind an e is an exponent.
func isExponent(text string) bool {
	return !strings.ContainsAny(text, ".,") && plain(text)
}
