package record

import (
	"fmt"
	"slices"
)

// OwnCare is what an owner changes of the care catalogue for one place. It is
// written in the place file and holds until the file says otherwise.
type OwnCare struct {
	Changes []CareChange `json:"changes,omitempty"`
	Tasks   []OwnTask    `json:"tasks,omitempty"`
}

// CareChange switches tasks off or puts other figures in place of the
// catalogue's. It changes every task that its name fits.
type CareChange struct {
	Task   string  `json:"task"`             // id of a task, or as much of it as the tasks meant share, such as backflush-water
	Off    bool    `json:"off,omitempty"`    // it no longer falls due
	Gauge  string  `json:"gauge,omitempty"`  // name of the gauge; may be left out where the task has one
	Low    float64 `json:"low,omitempty"`    // one in ten has reached its limit; in proportion to usual where left out
	Usual  float64 `json:"usual,omitempty"`  // half have, in the gauge's unit
	High   float64 `json:"high,omitempty"`   // nine in ten have
	Months float64 `json:"months,omitempty"` // an interval that stands instead of all gauges
	By     Whose   `json:"by,omitempty"`     // whose figure it is; the owner's where left out
	Note   string  `json:"note,omitempty"`   // why
}

// Whose tells whose figure overrides the catalogue's.
type Whose string

// Whose figures can override.
const (
	ByOwner Whose = "owner"
	ByMaker Whose = "maker"
)

// Choices lists them.
func (Whose) Choices() []string { return []string{string(ByOwner), string(ByMaker)} }

// OwnTask is a task of the owner's own, for one piece of equipment: by an
// interval, or by something counted.
type OwnTask struct {
	ID        string   `json:"id"`
	Title     string   `json:"title"`
	Equipment string   `json:"equipment"`
	Months    float64  `json:"months,omitempty"` // its interval; or
	Days      float64  `json:"days,omitempty"`   // its interval in days; or
	Driver    string   `json:"driver,omitempty"` // shots, kilograms or hot hours
	Limit     float64  `json:"limit,omitempty"`  // and how many of them
	Minutes   float64  `json:"minutes,omitempty"`
	Cautions  []string `json:"cautions,omitempty"`
	Steps     []string `json:"steps,omitempty"`
	Note      string   `json:"note,omitempty"`
}

// OwnDrivers lists what can drive a task of the owner's own beside days.
func OwnDrivers() []string { return []string{"shots", "kilograms", "hot hours"} }

// Validate checks all changes and tasks by themselves; whether the tasks and
// gauges they name exist is known only to the catalogue.
func (o OwnCare) Validate() error {
	for i, c := range o.Changes {
		if err := c.Validate(); err != nil {
			return within(fmt.Sprintf("changes[%d]", i), err)
		}
	}
	for i, t := range o.Tasks {
		if err := t.Validate(); err != nil {
			return within(fmt.Sprintf("tasks[%d]", i), err)
		}
		if slices.ContainsFunc(o.Tasks[:i], func(other OwnTask) bool { return other.ID == t.ID && other.Equipment == t.Equipment }) {
			return within(fmt.Sprintf("tasks[%d]", i), &FieldError{Field: "id", Value: t.ID, Want: "an id that no other task of that equipment has"})
		}
	}
	return nil
}

// Most that a limit or an interval can be, far above all that wears.
const (
	mostLimit  = 1e6
	mostMonths = 240
)

// Validate checks that the change says one thing, and that its figures rise.
func (c CareChange) Validate() error {
	if c.Task == "" {
		return &FieldError{Field: "task", Want: "the id of a task, as `limekeep tasks` shows it"}
	}
	if err := c.validateText(); err != nil {
		return err
	}
	limited := c.Low != 0 || c.Usual != 0 || c.High != 0
	said := 0
	for _, is := range []bool{c.Off, limited, c.Months != 0} {
		if is {
			said++
		}
	}
	if said != 1 {
		return &FieldError{Field: "off", Want: "just one of off, a limit (usual) and months for this task"}
	}
	if c.Gauge != "" && !limited {
		return &FieldError{Field: "gauge", Value: c.Gauge, Want: "a gauge only beside a limit"}
	}
	if c.Months != 0 {
		return between("months", c.Months, 0.1, mostMonths, "months")
	}
	if !limited {
		return nil
	}
	if err := between("usual", c.Usual, 1e-6, mostLimit, ""); err != nil {
		return err
	}
	if c.Low != 0 {
		if err := between("low", c.Low, 1e-6, c.Usual, "(usual)"); err != nil {
			return err
		}
	}
	if c.High != 0 {
		return between("high", c.High, c.Usual, mostLimit, "(from usual)")
	}
	return nil
}

func (c CareChange) validateText() error {
	if c.By != "" {
		if err := choice("by", string(c.By), c.By.Choices()); err != nil {
			return err
		}
	}
	for _, t := range []struct{ field, value string }{{"task", c.Task}, {"gauge", c.Gauge}, {"note", c.Note}} {
		if err := text(t.field, t.value, 300); err != nil {
			return err
		}
	}
	return nil
}

// Validate checks that the task has one thing that drives it.
func (t OwnTask) Validate() error {
	if err := identifier("id", t.ID); err != nil {
		return err
	}
	if t.Title == "" {
		return &FieldError{Field: "title", Want: "what is to be done, such as Oil the hinges"}
	}
	if err := identifier("equipment", t.Equipment); err != nil {
		return err
	}
	drives := 0
	for _, is := range []bool{t.Months != 0, t.Days != 0, t.Driver != "" || t.Limit != 0} {
		if is {
			drives++
		}
	}
	if drives != 1 {
		return &FieldError{Field: "months", Want: "just one of months, days, or a driver with its limit"}
	}
	switch {
	case t.Months != 0:
		if err := between("months", t.Months, 0.1, mostMonths, "months"); err != nil {
			return err
		}
	case t.Days != 0:
		if err := between("days", t.Days, 1, mostMonths*31, "days"); err != nil {
			return err
		}
	default:
		if err := choice("driver", t.Driver, OwnDrivers()); err != nil {
			return err
		}
		if err := between("limit", t.Limit, 1e-3, mostLimit, ""); err != nil {
			return err
		}
	}
	return t.validateRest()
}

func (t OwnTask) validateRest() error {
	if t.Minutes != 0 {
		if err := between("minutes", t.Minutes, 1, 600, "minutes"); err != nil {
			return err
		}
	}
	lines := map[string][]string{"title": {t.Title}, "note": {t.Note}, "cautions": t.Cautions, "steps": t.Steps}
	for _, field := range []string{"title", "note", "cautions", "steps"} {
		for i, line := range lines[field] {
			name := field
			if field == "cautions" || field == "steps" {
				name = fmt.Sprintf("%s[%d]", field, i)
			}
			if err := text(name, line, 500); err != nil {
				return err
			}
		}
	}
	return nil
}

func (OwnCare) kind() Kind { return KindOwnCare }
