package journal

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// Measure writes a condition check down. Equipment and part may be left empty
// where the place has just one that the check can be of. A check is its own
// task: to have written one down is to have done it.
func (j *Journal) Measure(ctx context.Context, d *day.Day, on record.Date, x record.Measurement) (Receipt, error) {
	sort, is := measurable(x.Kind)
	e, err := day.Pick(d.Book, x.Equipment, sort, is)
	if err != nil {
		return Receipt{}, err
	}
	x.Equipment = e.ID
	if x.Part, err = pickPart(e, x); err != nil {
		return Receipt{}, err
	}
	if err := x.Validate(); err != nil {
		return Receipt{}, err
	}
	if err := possible(e, x); err != nil {
		return Receipt{}, err
	}
	if on, err = settleDay(d.Today, on, e); err != nil {
		return Receipt{}, err
	}
	return j.write(ctx, d, on, x, say.Measurement(x))
}

// measurable says which sort of equipment a check is of.
func measurable(kind record.MeasurementKind) (string, func(record.Equipment) bool) {
	switch kind {
	case record.ShotTime:
		return "grinder", func(e record.Equipment) bool { return e.Grinder != nil }
	case record.ReferenceMass:
		return "scale", func(e record.Equipment) bool {
			return e.Tools != nil && slices.Contains(e.Tools.Have, record.WeighingScale)
		}
	}
	return "machine", func(e record.Equipment) bool { return e.Machine != nil }
}

// pickPart finds the group or vessel that a check is of, or the only one. A
// brew temperature may be of no group in particular.
func pickPart(e record.Equipment, x record.Measurement) (string, error) {
	var parts []string
	what := "group"
	switch x.Kind {
	case record.Flow, record.BrewTemperature:
		for _, g := range e.Machine.Groups {
			parts = append(parts, g.ID)
		}
	case record.WarmUpTime:
		what = "vessel"
		for _, v := range e.Machine.Vessels {
			if v.Kind != record.HeatExchanger { // it has no heater of its own
				parts = append(parts, v.ID)
			}
		}
	}
	switch {
	case x.Part == "" && len(parts) == 1:
		return parts[0], nil
	case x.Part == "" && x.Kind != record.Flow && x.Kind != record.WarmUpTime, slices.Contains(parts, x.Part):
		return x.Part, nil
	case x.Part == "":
		return "", &record.FieldError{Field: what, Want: "one of " + strings.Join(parts, ", ")}
	}
	return "", &record.UnknownError{What: what, Name: x.Part, Known: parts}
}

// leastWarmUpShare is the share of the heater's own time that a warm-up takes at
// least: a vessel need not be full, and its figures are rounded. Assumption.
const leastWarmUpShare = 0.6

// possible checks a warm-up against what the vessel's heater can do.
func possible(e record.Equipment, x record.Measurement) error {
	if x.Kind != record.WarmUpTime {
		return nil
	}
	i := slices.IndexFunc(e.Machine.Vessels, func(v record.Vessel) bool { return v.ID == x.Part })
	v := e.Machine.Vessels[i]
	warm, ok := wear.WarmUpOf(v, e.Machine.Setting, x.FromCelsius)
	if !ok {
		return nil
	}
	if least := leastWarmUpShare * warm.Seconds() / 60; x.Minutes < least {
		return &record.FieldError{Field: "minutes", Value: fmt.Sprint(x.Minutes),
			Want: fmt.Sprintf("at least %s minutes: %s W do not heat %s litres to %.0f °C any sooner, or put the vessel's figures right", figure.Rough(least), figure.Rough(v.Watts), figure.Rough(v.Litres), warm.ToCelsius)}
	}
	return nil
}

// MeasureTask writes the reading down that does a task. Its kind and its
// equipment follow from the task, and so does the part where the task is of one.
// A task that no reading does is a *record.FieldError, as is a figure that cannot
// be taken.
func (j *Journal) MeasureTask(ctx context.Context, d *day.Day, on record.Date, task string, x record.Measurement) (Receipt, error) {
	c, err := d.Check(task)
	if err != nil {
		return Receipt{}, err
	}
	if c == nil {
		return Receipt{}, &record.FieldError{Field: "task", Value: task, Want: "a task that a reading does: this one is written down as done"}
	}
	x.Kind, x.Equipment = c.Kind, c.Equipment
	if c.Part != "" {
		x.Part = c.Part
	}
	return j.Measure(ctx, d, on, x)
}
