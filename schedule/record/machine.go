package record

import (
	"slices"
	"strings"
)

// Machine is an espresso machine: the vessels that hold hot water, the groups
// that brew, and the habit of those who use it.
type Machine struct {
	Setting Setting  `json:"setting"`
	Layout  Layout   `json:"layout,omitempty"` // how it is built, in a word; may be left out where the vessels are written out
	Line    string   `json:"water_line"`       // id of the water line that feeds it
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

// MaySteam reports whether milk can be steamed with the machine, as far as is known of
// it: it holds steam, or is built as machines are that do, or its owner says so.
func (m Machine) MaySteam() bool {
	switch {
	case slices.Contains(m.Lacks, SteamWand):
		return false
	case slices.Contains(m.Has, SteamWand), m.Habit.Milk():
		return true
	case slices.ContainsFunc(m.Vessels, func(v Vessel) bool { return v.Kind == SteamBoiler }):
		return true
	}
	return m.Layout != "" && !m.Habit.SaysMilk()
}

// MayDrawHotWater reports whether hot water can be drawn from a steam boiler of the
// machine, as far as is known of it.
func (m Machine) MayDrawHotWater() bool {
	switch {
	case slices.Contains(m.Lacks, HotWaterTap):
		return false
	case slices.Contains(m.Has, HotWaterTap), m.Habit.HotWater() > 0:
		return true
	case m.Setting != Bar && m.Habit.HotWaterLitres != nil:
		return false
	}
	return slices.ContainsFunc(m.Vessels, func(v Vessel) bool { return v.Kind == SteamBoiler })
}

// Validate checks the machine, its vessels, its groups and its habit.
func (m Machine) Validate() error {
	const want = "an id that no other part of the machine has"
	var ids []string
	another := func(id string) error {
		taken := slices.Contains(ids, id)
		ids = append(ids, id)
		return refuse(taken, "id", id, want)
	}
	fills := m.Layout == "" || len(m.Layout.Vessels()) > 0 // else the layout is what is wrong
	return AllOf(
		choice("setting", string(m.Setting), m.Setting.Choices()),
		optionalChoice("layout", string(m.Layout), m.Layout.Choices()),
		identifier("water_line", m.Line),
		refuse(len(m.Vessels) == 0 && fills, "vessels", "", "at least one vessel that heats water, or the machine's layout: "+strings.Join(m.Layout.Choices(), ", ")),
		each("vessels", m.Vessels, func(v Vessel, _ []Vessel) error { return AllOf(v.Validate(), another(v.ID)) }),
		refuse(len(m.Groups) == 0 && fills && len(m.Vessels) > 0, "groups", "", "at least one group"),
		each("groups", m.Groups, func(g Group, _ []Group) error { return AllOf(g.Validate(), another(g.ID)) }),
		within("habit", m.Habit.Validate()),
		optionalChoice("pump", string(m.Pump), m.Pump.Choices()),
		optionalChoice("control", string(m.Control), m.Control.Choices()),
		validateFittings(m.Has, m.Lacks, MachineFittings()),
	)
}
