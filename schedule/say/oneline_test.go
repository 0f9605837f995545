package say

import (
	"strings"
	"testing"
)

// Nothing that somebody typed ends a line of a table, moves the cursor or turns the
// writing round.
func TestOneLineOf(t *testing.T) {
	for _, text := range []string{"a\nrecord 7, 2026-03-02: forged", "a\r\x1b[2K", "a\tb\x00\u0085", "a\u2028b\u2029", "\u202etxt\u2066"} {
		if got := OneLine(text); strings.ContainsAny(got, "\n\r\t\x1b\x00\u0085\u2028\u2029\u202e\u2066") {
			t.Errorf("%q became %q", text, got)
		}
	}
	if got := OneLine("Küche 🫖, 18 g"); got != "Küche 🫖, 18 g" {
		t.Errorf("harmless text became %q", got)
	}
}
