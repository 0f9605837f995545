package schedule

import "limekeep/schedule/record"

// Setup is a whole place as its owner describes it.
type Setup struct {
	Place     record.Place
	Equipment []record.Equipment
	Care      record.OwnCare // what the owner changes of the care catalogue
	Assumed   []string       // what FillIn took for granted, a sentence each; not kept
}

// Validate checks a setup by itself and returns all that is wrong with it. The
// fields of the equipment are named with its id before them.
func (s Setup) Validate() error {
	wrong := []error{within("place", s.Place.Validate())}
	if len(s.Equipment) == 0 {
		wrong = append(wrong, &record.FieldError{Field: "equipment", Want: "at least one machine, grinder or water line"})
	}
	for _, e := range s.Equipment {
		wrong = append(wrong, within(e.ID, e.Validate()))
	}
	return record.AllOf(append(wrong, within("care", s.Care.Validate()), record.ValidateTogether(s.Equipment))...)
}

// within puts the name of the thing that a field belongs to before it.
func within(prefix string, err error) error {
	return record.EachMistake(err, func(wrong record.FieldError) record.FieldError {
		wrong.Field = prefix + "." + wrong.Field
		return wrong
	})
}
