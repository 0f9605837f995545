package record

import "slices"

// Equipment is a machine, a grinder, a water line or the tools at a place. Its
// id never changes: everything written about it hangs on the id, so that it can
// be given another name and keep its history. Just one of Machine, Grinder, Line
// and Tools is set.
type Equipment struct {
	ID      string     `json:"id"`
	Name    string     `json:"name"`
	Serial  string     `json:"serial,omitempty"` // the number on its plate, for whoever orders parts
	Bought  Date       `json:"bought"`           // the day it came to its owner; its parts were new then, or overhauled, unless it came used; zero in a place file: see Completed
	Machine *Machine   `json:"machine,omitempty"`
	Grinder *Grinder   `json:"grinder,omitempty"`
	Line    *WaterLine `json:"water_line,omitempty"`
	Tools   *Tools     `json:"tools,omitempty"`

	// LookedAfter is the day up to which everything that is done at least once a
	// year is taken to have been done, though nobody wrote it down. What wears
	// for years counts from Bought all the same.
	LookedAfter Date `json:"looked_after,omitempty"`

	Used bool `json:"used,omitempty"` // it was not new when it came, so what wore before is unknown
	Made Date `json:"made,omitempty"` // the day it was made, of equipment that came used; zero where unknown

	// RecordsFrom is the day from which all that is done to it is written down.
	// Between the day it was new and this day it may have been cared for though
	// nothing says so. Zero: from the day it came.
	RecordsFrom Date `json:"records_from,omitempty"`

	Past []Past `json:"past,omitempty"` // of its parts, where more is known than of the whole
}

// Setting reports whether equipment stands in a home or works for its living:
// limits of wear differ between the two.
type Setting string

// Settings that equipment can stand in.
const (
	Home Setting = "home"
	Bar  Setting = "bar"
)

// Choices lists the settings.
func (Setting) Choices() []string { return []string{string(Home), string(Bar)} }

// Retired says that equipment has left the place from the record's day on: its
// history stays, nothing of it falls due.
type Retired struct {
	Equipment string `json:"equipment"`
}

// Title is the name for people, or the id where no name was given.
func (e Equipment) Title() string {
	if e.Name != "" {
		return e.Name
	}
	return e.ID
}

// SameKind reports whether two pieces of equipment are of one kind: both machines, both
// grinders, both water lines or both tools.
func (e Equipment) SameKind(other Equipment) bool {
	return (e.Machine != nil) == (other.Machine != nil) && (e.Grinder != nil) == (other.Grinder != nil) &&
		(e.Line != nil) == (other.Line != nil) && (e.Tools != nil) == (other.Tools != nil)
}

// Validate checks one piece of equipment by itself; what it points at is
// checked by ValidateTogether.
func (e Equipment) Validate() error {
	return AllOf(
		identifier("id", e.ID),
		name("name", e.Name, 200),
		name("serial", e.Serial, 60),
		refuse(!e.Bought.IsZero() && e.Bought < earliestDay, "bought", e.Bought, "the day it was bought or last overhauled, such as 2024-05-04"),
		where(!e.Made.IsZero(), AllOf(
			notBefore("made", e.Made, earliestDay, "a day not before "),
			refuse(!e.Bought.IsZero() && e.Made > e.Bought, "made", e.Made, "a day not after it was bought, "+e.Bought.String()),
		)),
		where(!e.LookedAfter.IsZero(), notBefore("looked_after", e.LookedAfter, e.FirstDay(), "a day not before it was bought, ")),
		where(!e.RecordsFrom.IsZero(), notBefore("records_from", e.RecordsFrom, earliestDay, "a day not before ")),
		each("past", e.Past, func(p Past, _ []Past) error { return p.validate(e.Origin()) }),
		refuse(!justOne(e.Machine != nil, e.Grinder != nil, e.Line != nil, e.Tools != nil), "kind", "", "just one of a machine, a grinder, a water line and tools"),
		e.validateKind(),
	)
}

// validateKind checks what the equipment is.
func (e Equipment) validateKind() error {
	switch {
	case e.Machine != nil:
		return e.Machine.Validate()
	case e.Grinder != nil:
		return e.Grinder.Validate()
	case e.Line != nil:
		return e.Line.Validate()
	case e.Tools != nil:
		return e.Tools.Validate()
	}
	return nil
}

// ValidateTogether checks the pointers between pieces of equipment: that ids
// are used once, that a machine's line and a grinder's machines exist. A field is
// named with the id of the equipment before it.
func ValidateTogether(all []Equipment) error {
	var lines, machines []string
	for _, e := range all {
		switch {
		case e.Line != nil:
			lines = append(lines, e.ID)
		case e.Machine != nil:
			machines = append(machines, e.ID)
		}
	}
	var wrong []error
	for i, e := range all {
		taken := slices.ContainsFunc(all[:i], func(other Equipment) bool { return other.ID == e.ID })
		wrong = append(wrong, within(e.ID, refuse(taken, "id", e.ID, "an id that nothing else at the place has")))
		if e.Machine != nil {
			wrong = append(wrong, within(e.ID, pointsAt("water_line", e.Machine.Line, "the id of a water line of this place", lines)))
		}
		if e.Grinder != nil {
			wrong = append(wrong, within(e.ID, eachWord("serves", e.Grinder.Serves, func(name, id string, _ []string) error {
				return pointsAt(name, id, "the id of a machine of this place", machines)
			})))
		}
	}
	return AllOf(wrong...)
}

// pointsAt is a line for the id of something else, one of those known.
func pointsAt(field, id, want string, known []string) error {
	if slices.Contains(known, id) {
		return nil
	}
	if len(known) > 0 {
		want += ", such as " + OneOf(id, known)
	}
	return &FieldError{Field: field, Value: id, Want: want}
}

func (Equipment) kind() Kind { return KindEquipment }
func (Retired) kind() Kind   { return KindRetired }

// Validate checks the id.
func (r Retired) Validate() error { return identifier("equipment", r.Equipment) }
