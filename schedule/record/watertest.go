package record

import (
	"limekeep/water"
)

// WaterTest is what was measured of a line's water on a day.
type WaterTest struct {
	Line  string     `json:"line"`            // id of the water line
	After string     `json:"after,omitempty"` // id of the treatment the sample was taken behind; empty for the supply itself
	Test  water.Test `json:"test"`
	Note  string     `json:"note,omitempty"`
}

// Validate checks the figures themselves; whether the line and the treatment
// exist is known only to the book.
func (t WaterTest) Validate() error {
	return AllOf(
		identifier("line", t.Line),
		text("note", t.Note, 1000),
		t.Test.Validate(),
	)
}

func (WaterTest) kind() Kind { return KindWaterTest }
