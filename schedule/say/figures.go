package say

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"limekeep/water/figure"
)

// Amount writes a figure with its unit.
func Amount(x float64, unit string) string { return Bare(x, unit) + " " + unit }

// Bare writes a figure without its unit; shares of something in per cent.
func Bare(x float64, unit string) string {
	if strings.HasPrefix(unit, "of the ") {
		return figure.Rough(100*x) + " %"
	}
	return figure.Rough(x)
}

// Count writes so many of something: 1 day, 3 days.
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// UpperFirst writes the first letter as a capital.
func UpperFirst(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// WithNote puts a note in brackets behind a text, where there is one.
func WithNote(text, note string) string {
	if note == "" {
		return text
	}
	return text + " (" + OneLine(note) + ")"
}
