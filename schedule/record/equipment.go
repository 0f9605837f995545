package record

import (
	"fmt"
	"slices"
)

// Equipment is a machine, a grinder, a water line or the tools at a place. Its
// id never changes: everything written about it hangs on the id, so that it can
// be given another name and keep its history. Just one of Machine, Grinder, Line
// and Tools is set.
type Equipment struct {
	ID      string     `json:"id"`
	Name    string     `json:"name"`
	Bought  Date       `json:"bought"` // the day its parts were fresh: bought new, or overhauled
	Machine *Machine   `json:"machine,omitempty"`
	Grinder *Grinder   `json:"grinder,omitempty"`
	Line    *WaterLine `json:"water_line,omitempty"`
	Tools   *Tools     `json:"tools,omitempty"`

	// LookedAfter is the day up to which everything that is done at least once a
	// year is taken to have been done, though nobody wrote it down. What wears
	// for years counts from Bought all the same.
	LookedAfter Date `json:"looked_after,omitempty"`
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

// Validate checks one piece of equipment by itself; what it points at is
// checked by ValidateTogether.
func (e Equipment) Validate() error {
	bought := ""
	if !e.Bought.IsZero() {
		bought = e.Bought.String()
	}
	return firstOf(
		identifier("id", e.ID),
		name("name", e.Name, 200),
		refuse(e.Bought.IsZero() || e.Bought < NewDate(1900, 1, 1), "bought", bought, "the day it was bought or last overhauled, such as 2024-05-04"),
		where(!e.LookedAfter.IsZero(), notBefore("looked_after", e.LookedAfter, e.Bought, "a day not before it was bought, ")),
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
// are used once, that a machine's line and a grinder's machines exist.
func ValidateTogether(all []Equipment) error {
	ids := make([]string, 0, len(all))
	for _, e := range all {
		if slices.Contains(ids, e.ID) {
			return within(e.ID, &FieldError{Field: "id", Value: e.ID, Want: "an id that nothing else at the place has"})
		}
		ids = append(ids, e.ID)
	}
	find := func(id string) (Equipment, bool) {
		i := slices.IndexFunc(all, func(e Equipment) bool { return e.ID == id })
		if i < 0 {
			return Equipment{}, false
		}
		return all[i], true
	}
	for _, e := range all {
		if e.Machine != nil {
			if line, ok := find(e.Machine.Line); !ok || line.Line == nil {
				return within(e.ID, &FieldError{Field: "water_line", Value: e.Machine.Line, Want: "the id of a water line of this place"})
			}
		}
		if e.Grinder != nil {
			for i, id := range e.Grinder.Serves {
				if machine, ok := find(id); !ok || machine.Machine == nil {
					return within(e.ID, &FieldError{Field: fmt.Sprintf("serves[%d]", i), Value: id, Want: "the id of a machine of this place"})
				}
			}
		}
	}
	return nil
}

func (Equipment) kind() Kind { return KindEquipment }
func (Retired) kind() Kind   { return KindRetired }

// Validate checks the id.
func (r Retired) Validate() error { return identifier("equipment", r.Equipment) }
