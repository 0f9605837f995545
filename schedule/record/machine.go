package record

import (
	"fmt"
	"slices"
)

// Machine is an espresso machine: the vessels that hold hot water, the groups
// that brew, and the habit of those who use it.
type Machine struct {
	Setting Setting  `json:"setting"`
	Line    string   `json:"water_line"` // id of the water line that feeds it
	Vessels []Vessel `json:"vessels"`
	Groups  []Group  `json:"groups"`
	Habit   Habit    `json:"habit"`
}

// Habit is what a machine makes on an ordinary day, as its owner says. Where a
// day was not logged, and for the days to come, this is what is known.
type Habit struct {
	WeekdayShots   float64 `json:"weekday_shots"`              // Monday to Friday, shots a day
	WeekendShots   float64 `json:"weekend_shots"`              // Saturday and Sunday, shots a day
	SteamedShare   float64 `json:"steamed_share,omitempty"`    // share of the shots that get steamed milk, 0 to 1
	HotWaterLitres float64 `json:"hot_water_litres,omitempty"` // drawn from the steam boiler a day
	DoseGrams      float64 `json:"dose_grams,omitempty"`       // dry coffee a shot
	YieldGrams     float64 `json:"yield_grams,omitempty"`      // drink in the cup a shot
	HotHours       float64 `json:"hot_hours,omitempty"`        // hours a day at temperature
}

// Validate checks the machine, its vessels, its groups and its habit.
func (m Machine) Validate() error {
	if err := choice("setting", string(m.Setting), m.Setting.Choices()); err != nil {
		return err
	}
	if err := identifier("water_line", m.Line); err != nil {
		return err
	}
	if len(m.Vessels) == 0 {
		return &FieldError{Field: "vessels", Want: "at least one vessel that heats water"}
	}
	var ids []string
	for i, v := range m.Vessels {
		if err := v.Validate(); err != nil {
			return within(fmt.Sprintf("vessels[%d]", i), err)
		}
		if slices.Contains(ids, v.ID) {
			return within(fmt.Sprintf("vessels[%d]", i), &FieldError{Field: "id", Value: v.ID, Want: "an id that no other part of the machine has"})
		}
		ids = append(ids, v.ID)
	}
	if len(m.Groups) == 0 {
		return &FieldError{Field: "groups", Want: "at least one group"}
	}
	for i, g := range m.Groups {
		if err := g.Validate(); err != nil {
			return within(fmt.Sprintf("groups[%d]", i), err)
		}
		if slices.Contains(ids, g.ID) {
			return within(fmt.Sprintf("groups[%d]", i), &FieldError{Field: "id", Value: g.ID, Want: "an id that no other part of the machine has"})
		}
		ids = append(ids, g.ID)
	}
	if err := m.Habit.Validate(); err != nil {
		return within("habit", err)
	}
	return nil
}

// Validate checks that each figure is one a machine can see.
func (h Habit) Validate() error {
	checks := []struct {
		field     string
		value     float64
		low, high float64
		unit      string
	}{
		{"weekday_shots", h.WeekdayShots, 0, 3000, "shots a day"},
		{"weekend_shots", h.WeekendShots, 0, 3000, "shots a day"},
		{"steamed_share", h.SteamedShare, 0, 1, "(a share of the shots)"},
		{"hot_water_litres", h.HotWaterLitres, 0, 200, "litres a day"},
		{"dose_grams", h.DoseGrams, 0, 40, "g"},
		{"yield_grams", h.YieldGrams, 0, 500, "g"},
		{"hot_hours", h.HotHours, 0, 24, "hours a day"},
	}
	for _, c := range checks {
		if err := between(c.field, c.value, c.low, c.high, c.unit); err != nil {
			return err
		}
	}
	return nil
}
