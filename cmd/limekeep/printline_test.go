package main

import (
	"bytes"
	"testing"
)

// A task's line is broken between its pieces where a terminal is too narrow, and never where it
// goes into a file or a pipe.
func TestTaskLinesFitTheTerminal(t *testing.T) {
	pieces := []string{"Backflush with detergent", "  [machine/backflush-detergent/group]", ", likely 2026-12-04"}
	lead := "  Sat 2026-12-05 10:00  "
	for _, c := range []struct {
		width int
		want  string
	}{
		{120, lead + "Backflush with detergent  [machine/backflush-detergent/group], likely 2026-12-04\n"},
		{80, lead + "Backflush with detergent\n                        [machine/backflush-detergent/group], likely 2026-12-04\n"},
		{50, lead + "Backflush with detergent\n                [machine/backflush-detergent/group]\n                likely 2026-12-04\n"},
	} {
		s := &sheet{columns: c.width, terminal: true}
		if printLine(s, lead, pieces...); s.String() != c.want {
			t.Errorf("on %d columns:\n%swant\n%s", c.width, s.String(), c.want)
		}
	}
	var file bytes.Buffer
	if printLine(&file, lead, pieces...); bytes.Count(file.Bytes(), []byte("\n")) != 1 {
		t.Errorf("into a file:\n%s", file.String())
	}
}
