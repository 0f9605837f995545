package schedule

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/deposit"
)

// Measure writes a condition check down. Equipment and part may be left empty
// where the place has just one that the check can be of. A check is its own
// task: to have written one down is to have done it.
func (d *Desk) Measure(ctx context.Context, m Moment, on record.Date, x record.Measurement) (Written, error) {
	book, _, m, err := d.open(ctx, m)
	if err != nil {
		return Written{}, err
	}
	sort, is := measurable(x.Kind)
	e, err := pick(book, x.Equipment, sort, is)
	if err != nil {
		return Written{}, err
	}
	x.Equipment = e.ID
	if x.Part, err = pickPart(e, x); err != nil {
		return Written{}, err
	}
	if err := x.Validate(); err != nil {
		return Written{}, err
	}
	if err := possible(e, x); err != nil {
		return Written{}, err
	}
	if on, err = settleDay(m, on, e); err != nil {
		return Written{}, err
	}
	return d.write(ctx, m, on, x, measurementSays(x))
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
			Want: fmt.Sprintf("at least %s minutes: %s W do not heat %s litres to %.0f °C any sooner, or put the vessel's figures right", number(least), number(v.Watts), number(v.Litres), warm.ToCelsius)}
	}
	return nil
}

// measurementSays puts a check in a few words.
func measurementSays(x record.Measurement) string {
	where := x.Equipment
	if x.Part != "" {
		where += ", " + x.Part
	}
	figures := ""
	switch x.Kind {
	case record.Flow:
		figures = fmt.Sprintf("%s g in %s s", asWritten(x.Grams), asWritten(x.Seconds))
	case record.WarmUpTime:
		figures = asWritten(x.Minutes) + " minutes"
		if x.FromCelsius > 0 {
			figures += fmt.Sprintf(" from %s °C", asWritten(x.FromCelsius))
		}
	case record.ShotTime:
		figures = fmt.Sprintf("%s s at setting %s, %s g to %s g", asWritten(x.Seconds), asWritten(x.Setting), asWritten(x.DoseGrams), asWritten(x.YieldGrams))
	case record.BrewTemperature:
		figures = asWritten(x.Celsius) + " °C"
	case record.PumpPressure:
		figures = asWritten(x.Bar) + " bar"
	case record.ReferenceMass:
		figures = fmt.Sprintf("%s g shown for %s g", asWritten(x.ShownGrams), asWritten(x.MassGrams))
	}
	return withNote(fmt.Sprintf("%s of %s: %s", x.Kind, where, figures), x.Note)
}

// KindWord is a kind of check as the command line writes it: shot-time.
func KindWord(kind record.MeasurementKind) string {
	return strings.ReplaceAll(string(kind), " ", "-")
}

// ConditionInfo is what the checks of one kind say of a part.
type ConditionInfo struct {
	Kind      record.MeasurementKind `json:"kind"`
	Task      string                 `json:"task"` // that falls due by it
	Equipment string                 `json:"equipment"`
	Part      string                 `json:"part,omitempty"`
	Gauge     string                 `json:"gauge"`
	Unit      string                 `json:"unit"` // of readings, level, pace and limit
	Limit     float64                `json:"limit"`
	Level     float64                `json:"level"`     // of the line today
	PerMonth  float64                `json:"per_month"` // by which it grows worse; 0 where that could be chance
	Sure      bool                   `json:"sure"`      // the readings move by more than chance
	Early     *record.Date           `json:"early"`     // window of the crossing; null beyond the horizon
	Likely    *record.Date           `json:"likely"`
	Late      *record.Date           `json:"late"`
	Readings  []ReadingInfo          `json:"readings"`
	Says      []string               `json:"says"`
}

// ReadingInfo is one reading as a departure from the reference.
type ReadingInfo struct {
	On     record.Date `json:"on"`
	Record int64       `json:"record"`
	Value  float64     `json:"value"`
	FarOff bool        `json:"far_off,omitempty"` // shown, not followed
	Before bool        `json:"before,omitempty"`  // before a sudden change
}

// Conditions gives what all condition checks of a place say.
func (d *Desk) Conditions(ctx context.Context, m Moment) ([]ConditionInfo, error) {
	o, err := d.look(ctx, m)
	if err != nil {
		return nil, err
	}
	all := []ConditionInfo{}
	for _, x := range o.outcomes {
		for _, g := range x.Gauges {
			if g.Condition != nil {
				all = append(all, conditionInfo(x, g, o.moment.Today))
			}
		}
	}
	return all, nil
}

func conditionInfo(x wear.Outcome, g wear.GaugeOutcome, today record.Date) ConditionInfo {
	c := g.Condition
	info := ConditionInfo{
		Kind: c.Kind, Task: x.Duty.ID, Equipment: c.Equipment, Part: c.Part, Gauge: g.Gauge.Name, Unit: g.Gauge.Unit,
		Limit: g.Gauge.Limit.Usual, Level: c.Trend.At(today), Sure: c.Trend.Sure, PerMonth: monthly(c.Trend),
		Early: dateOrNil(g.Window.Early), Likely: dateOrNil(g.Window.Likely), Late: dateOrNil(g.Window.Late),
		Readings: []ReadingInfo{}, Says: conditionSentences(x, g, today),
	}
	for _, r := range c.Trend.Readings {
		info.Readings = append(info.Readings, ReadingInfo{On: r.On, Record: r.Record, Value: r.Value, FarOff: r.FarOff, Before: r.Before})
	}
	return info
}

// monthly is by how much a trend grows worse in a month; 0 where that could be
// chance.
func monthly(t wear.Trend) float64 {
	const monthDays = 365.2425 / 12
	if !t.Sure {
		return 0
	}
	return t.Slope * monthDays
}

// trendTask tells whether a duty falls due by what is measured alone.
func trendTask(d care.Duty) bool {
	return !slices.ContainsFunc(d.Gauges, func(g care.BoundGauge) bool { return g.Driver != care.ByTrend })
}

// boreSentence puts a loss of flow as a bore, where the bore is known: at equal
// pressure flow goes with the area.
func boreSentence(x wear.Outcome, lost float64) string {
	bore := 0.0
	for _, v := range x.Duty.Equipment.Machine.Vessels {
		if v.OrificeMM > 0 && (bore == 0 || v.OrificeMM < bore) {
			bore = v.OrificeMM
		}
	}
	if bore == 0 || lost <= 0 || lost >= 100 {
		return ""
	}
	open := bore - 2*deposit.OrificeThicknessMM(bore, 1-lost/100)
	return fmt.Sprintf(" It is as if the bore of %s mm had become %.2f mm.", number(bore), open)
}
