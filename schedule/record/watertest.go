package record

import (
	"limekeep/water"
)

// WaterTest is what was measured of a line's water on a day, or of the water of a whole
// district, which counts for every line of the places on it.
type WaterTest struct {
	Line  string     `json:"line"`            // id of the water line; empty for that of a district
	After string     `json:"after,omitempty"` // id of the treatment the sample was taken behind; empty for the supply itself
	Test  water.Test `json:"test"`
	Note  string     `json:"note,omitempty"`

	District string `json:"district,omitempty"` // id of the district whose water was tested; empty for that of a line
}

// Validate checks the figures themselves; whether the line and the treatment
// exist is known only to the book.
func (t WaterTest) Validate() error {
	return AllOf(
		where(t.District == "", identifier("line", t.Line)),
		where(t.District != "", AllOf(
			identifier("district", t.District),
			refuse(t.Line != "", "line", t.Line, "either a line of one place or a district"),
			refuse(t.After != "", "after", t.After, "no treatment: the water of a district is tested before any"),
		)),
		text("note", t.Note, 1000),
		t.Test.Validate(),
	)
}

func (WaterTest) kind() Kind { return KindWaterTest }
