package record

import (
	"fmt"
	"math"
)

// Measurement is a condition check: what was read on a day. Which fields count
// depends on its kind.
type Measurement struct {
	Kind      MeasurementKind `json:"kind"`
	Equipment string          `json:"equipment"`
	Part      string          `json:"part,omitempty"` // id of the group or vessel; empty where the check is of the whole

	Grams   float64 `json:"grams,omitempty"`   // flow: water caught
	Seconds float64 `json:"seconds,omitempty"` // flow: in this time; shot time: how long the shot took

	Minutes     float64 `json:"minutes,omitempty"`      // warm-up: until the heating first stopped
	FromCelsius float64 `json:"from_celsius,omitempty"` // warm-up: temperature it started from

	Setting    float64 `json:"setting,omitempty"`     // shot time: of the grinder, in clicks
	DoseGrams  float64 `json:"dose_grams,omitempty"`  // shot time
	YieldGrams float64 `json:"yield_grams,omitempty"` // shot time

	Celsius float64 `json:"celsius,omitempty"` // brew temperature
	Bar     float64 `json:"bar,omitempty"`     // pump pressure

	ShownGrams float64 `json:"shown_grams,omitempty"` // reference mass: what the scale showed
	MassGrams  float64 `json:"mass_grams,omitempty"`  // reference mass: what it weighs

	Note string `json:"note,omitempty"`
}

// MeasurementKind tells what was checked.
type MeasurementKind string

// Kinds of condition check.
const (
	Flow            MeasurementKind = "flow"             // grams in a set time through a group without a portafilter
	WarmUpTime      MeasurementKind = "warm-up"          // from cold until a vessel's heating first stops
	ShotTime        MeasurementKind = "shot time"        // at a setting, dose and yield
	BrewTemperature MeasurementKind = "brew temperature" // at the group
	PumpPressure    MeasurementKind = "pump pressure"    // against a blind basket
	ReferenceMass   MeasurementKind = "reference mass"   // on a weighing scale
)

// Choices lists the kinds.
func (MeasurementKind) Choices() []string {
	return []string{string(Flow), string(WarmUpTime), string(ShotTime), string(BrewTemperature), string(PumpPressure), string(ReferenceMass)}
}

// Validate checks that the figures its kind asks for are there, within what
// such equipment can show, and no others.
func (m Measurement) Validate() error {
	return AllOf(
		choice("kind", string(m.Kind), m.Kind.Choices()),
		identifier("equipment", m.Equipment),
		where(m.Part != "", identifier("part", m.Part)),
		m.validateFigures(),
		text("note", m.Note, 1000),
	)
}

// validateFigures checks the figures by the table of all kinds.
func (m Measurement) validateFigures() error {
	for _, f := range m.fields() {
		asked := f.kind == m.Kind || f.field == "seconds" && m.Kind == ShotTime
		switch {
		case !asked && f.value != 0:
			return &FieldError{Field: f.field, Value: fmt.Sprint(f.value), Want: fmt.Sprintf("no such figure for %s", m.Kind)}
		case asked && math.IsNaN(f.value), asked && (f.value != 0 || !f.optional):
			if err := between(f.field, f.value, f.low, f.high, f.unit); err != nil {
				return err
			}
		}
	}
	return nil
}

// measuredField is one figure of a measurement and what it can be.
type measuredField struct {
	kind      MeasurementKind
	field     string
	value     float64
	low, high float64
	unit      string
	optional  bool
}

func (m Measurement) fields() []measuredField {
	return []measuredField{
		{Flow, "grams", m.Grams, 1, 5000, "g", false},
		{Flow, "seconds", m.Seconds, 1, 300, "s", false},
		{WarmUpTime, "minutes", m.Minutes, 0.1, 180, "minutes", false},
		{WarmUpTime, "from_celsius", m.FromCelsius, 1, 60, "°C", true},
		{ShotTime, "setting", m.Setting, -1000, 10000, "clicks", true}, // 0 is a setting
		{ShotTime, "dose_grams", m.DoseGrams, 3, 40, "g", false},
		{ShotTime, "yield_grams", m.YieldGrams, 5, 500, "g", false},
		{BrewTemperature, "celsius", m.Celsius, 40, 130, "°C", false},
		{PumpPressure, "bar", m.Bar, 0.5, 20, "bar", false},
		{ReferenceMass, "shown_grams", m.ShownGrams, 0.1, 10000, "g", false},
		{ReferenceMass, "mass_grams", m.MassGrams, 1, 10000, "g", false},
	}
}

func (Measurement) kind() Kind { return KindMeasurement }
