package say

import (
	"strings"
	"unicode"
)

// OneLine returns a text that somebody typed so that nothing in it ends the line, moves
// the cursor, parts columns or turns the writing round: it must not look like a line of
// ours.
func OneLine(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || r == '\u200e' || r == '\u200f' || r == '\u061c' || r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069' {
			return ' '
		}
		return r
	}, text)
}
