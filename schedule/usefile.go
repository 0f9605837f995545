package schedule

import (
	"fmt"
)

// UseFile says what is known of a file of use before its rows are read.
type UseFile struct {
	Machine string // may be left empty where the place has just one
	Name    string // of the file
	// What its columns do not tell: the name of a drink tells it where there is
	// one, else the habit does.
	MilkUnsaid     bool
	HotWaterUnsaid bool
	Drinks         bool // it names drinks
	// Preview reads and checks the file and keeps nothing.
	Preview bool
	// Replace keeps rows that are known and say something else now in place of
	// those kept before, whose batches it voids.
	Replace bool
}

// RowError says in which row of a file something is wrong. Row 1 is the first
// below the header.
type RowError struct {
	Row  int
	Line int // of the file, from 1; 0 where it is not known
	Err  error
}

// Error names the row first, and the line where it is not the one below the
// header that the row's number tells.
func (e *RowError) Error() string {
	if e.Line > 0 && e.Line != e.Row+1 {
		return fmt.Sprintf("row %d (line %d): %v", e.Row, e.Line, e.Err)
	}
	return fmt.Sprintf("row %d: %v", e.Row, e.Err)
}

// Unwrap gives what is wrong in the row.
func (e *RowError) Unwrap() error { return e.Err }
