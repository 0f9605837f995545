package shotlog

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"limekeep/water/figure"
)

// number reads a number. most is the most that its column can hold.
func (f *Log) number(cell []byte, most float64) (float64, error) {
	w := &f.writing
	if !ambiguous(cell) {
		x, err := figure.Either.ReadBytes(cell)
		if err != nil {
			if whole, ok := ungrouped(cell); ok {
				w.see(cell)
				return figure.Either.ReadBytes(whole)
			}
			return 0, err
		}
		if !w.comma && bytes.IndexByte(cell, ',') >= 0 || !w.point && bytes.IndexByte(cell, '.') >= 0 {
			before := w.decimal()
			w.see(cell)
			if w.guessed && w.decimal() != before {
				return 0, errUnsettled
			}
		}
		return x, nil
	}
	mark := figure.Mark(cell[len(cell)-4])
	settled := w.decimal()
	if !w.told && !w.surveyed {
		if f.survey() {
			settled = w.decimal()
		} else if settled != figure.Either {
			w.guessed = true
		}
	}
	plain := slices.Delete(bytes.Clone(cell), len(cell)-4, len(cell)-3)
	thousands, err := figure.Either.ReadBytes(plain)
	if err != nil {
		return 0, err
	}
	switch {
	case settled == mark, settled == figure.Either && mark == figure.Point && !w.comma && thousands > most:
		return mark.ReadBytes(cell)
	case settled != figure.Either:
		return thousands, nil
	}
	return 0, errUnsettled
}

// errUnsettled says that a number can be read in two ways.
var errUnsettled = errors.New("it may be thousands or a fraction")

// ambiguous reports whether the one mark of a number may part thousands.
func ambiguous(cell []byte) bool {
	n := len(cell)
	if n < 5 || cell[n-4] != '.' && cell[n-4] != ',' {
		return false
	}
	return bytes.Count(cell, []byte{'.'})+bytes.Count(cell, []byte{','}) == 1 && figure.Of(string(cell)) == figure.Either
}

// ungrouped takes the marks between thousands out of a number whose shape leaves
// no doubt: 1.234,5, 1,234.5, 1.234.567, 1'234, 1 234.
func ungrouped(cell []byte) ([]byte, bool) {
	text := bytes.ReplaceAll(bytes.ReplaceAll(bytes.ReplaceAll(cell, []byte("\u202f"), []byte{' '}), []byte("\u00a0"), []byte{' '}), []byte("’"), []byte{'\''})
	whole, rest, decimal := text, []byte(nil), figure.Of(string(text))
	if i := bytes.LastIndexAny(text, ".,"); i >= 0 && (decimal == figure.Mark(text[i]) || bytes.ContainsAny(text[:i], " '")) {
		whole, rest = text[:i], text[i+1:]
	}
	var mark byte
	digits, out := 0, []byte{}
	for i, c := range whole {
		switch {
		case digit(c):
			digits++
			out = append(out, c)
			continue
		case mark == 0 && digits >= 1 && digits <= 3, mark == c && digits == 3:
			if c != '.' && c != ',' && c != ' ' && c != '\'' {
				return nil, false
			}
			mark = c
		default:
			return nil, false
		}
		digits = 0
		if i == len(whole)-1 {
			return nil, false
		}
	}
	if mark == 0 || digits != 3 {
		return nil, false
	}
	for _, c := range rest {
		if !digit(c) {
			return nil, false
		}
	}
	if len(rest) > 0 {
		out = append(append(out, '.'), rest...)
		if len(rest) == 3 {
			out = append(out, '0') // not thousands: the shape has told
		}
	}
	return out, true
}

// numberIn cuts the unit off a figure.
func numberIn(cell []byte) []byte {
	return bytes.TrimRight(cell, " \u00a0abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// numberError says what is wrong with a figure.
func (f *Log) numberError(cell []byte, want string, err error) string {
	var refused *figure.ReadError
	switch {
	case errors.Is(err, errUnsettled):
		return fmt.Sprintf("%s, and %s: %s, since the numbers of the file do not tell", want, f.options.ways().Decimal(), err)
	case errors.As(err, &refused) && refused.Why != "" && len(cell) > 0 && digit(cell[0]) && bytes.ContainsAny(cell, ".,eE"):
		return want + ": " + refused.Why
	}
	return want
}
