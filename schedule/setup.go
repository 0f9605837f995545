package schedule

import (
	"fmt"

	"limekeep/schedule/record"
)

// Setup is a whole place as its owner describes it.
type Setup struct {
	Place     record.Place
	Equipment []record.Equipment
	Care      record.OwnCare // what the owner changes of the care catalogue
}

// Validate checks a setup by itself.
func (s Setup) Validate() error {
	if err := s.Place.Validate(); err != nil {
		return err
	}
	if len(s.Equipment) == 0 {
		return &record.FieldError{Field: "equipment", Want: "at least one machine, grinder or water line"}
	}
	for _, e := range s.Equipment {
		if err := e.Validate(); err != nil {
			return fmt.Errorf("%s: %w", e.ID, err)
		}
	}
	if err := s.Care.Validate(); err != nil {
		return fmt.Errorf("care: %w", err)
	}
	return record.ValidateTogether(s.Equipment)
}
