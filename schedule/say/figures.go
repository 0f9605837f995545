package say

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"limekeep/water/figure"
)

// number writes a figure with about two significant digits, as people would.
func Number(x float64) string { return figure.Rough(x) }

// amount writes a figure with its unit.
func Amount(x float64, unit string) string { return Bare(x, unit) + " " + unit }

// bare writes a figure without its unit; shares of something in per cent.
func Bare(x float64, unit string) string {
	if strings.HasPrefix(unit, "of the ") {
		return Number(100*x) + " %"
	}
	return Number(x)
}

func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func UpperFirst(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// asWritten gives a figure back with all the digits somebody wrote down.
func AsWritten(x float64) string { return figure.Exact(x) }

func WithNote(text, note string) string {
	if note == "" {
		return text
	}
	return text + " (" + note + ")"
}
