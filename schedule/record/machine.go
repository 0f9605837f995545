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
	// What follows may be left out: it then is as such machines usually are.
	Pump    Pump      `json:"pump,omitempty"`
	Control Control   `json:"control,omitempty"`
	Has     []Fitting `json:"has,omitempty"`   // parts it has beside those that such machines have
	Lacks   []Fitting `json:"lacks,omitempty"` // parts it lacks that such machines have
}

// Pump tells what pushes the water through a machine.
type Pump string

// Pumps.
const (
	VibrationPump Pump = "vibration"
	RotaryPump    Pump = "rotary"
	NoPump        Pump = "none" // a lever, or the pressure of the mains
)

// Choices lists the pumps.
func (Pump) Choices() []string {
	return []string{string(VibrationPump), string(RotaryPump), string(NoPump)}
}

// Control tells what holds a machine's boilers at their temperature.
type Control string

// Controls.
const (
	Thermostat     Control = "thermostat"
	PressureSwitch Control = "pressure switch"
	Controller     Control = "controller" // electronic, with a temperature probe
)

// Choices lists the controls.
func (Control) Choices() []string {
	return []string{string(Thermostat), string(PressureSwitch), string(Controller)}
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
	if m.Pump != "" {
		if err := choice("pump", string(m.Pump), m.Pump.Choices()); err != nil {
			return err
		}
	}
	if m.Control != "" {
		if err := choice("control", string(m.Control), m.Control.Choices()); err != nil {
			return err
		}
	}
	return validateFittings(m.Has, m.Lacks, MachineFittings())
}
