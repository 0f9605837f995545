package day

import (
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
)

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

// Conditions are what condition checks say of parts, by a forecast.
type Conditions struct{ f *Forecast }

// Conditions returns them.
func (f *Forecast) Conditions() Conditions { return Conditions{f} }

// All returns what all condition checks of a place say.
func (q Conditions) All() []ConditionInfo {
	all := []ConditionInfo{}
	for _, x := range q.f.outcomes {
		for _, g := range x.Gauges {
			if g.Condition != nil {
				all = append(all, q.info(x, g))
			}
		}
	}
	return all
}

func (q Conditions) info(x wear.Outcome, g wear.GaugeOutcome) ConditionInfo {
	c := g.Condition
	info := ConditionInfo{
		Kind: c.Kind, Task: x.Duty.ID, Equipment: c.Equipment, Part: c.Part, Gauge: g.Gauge.Name, Unit: g.Gauge.Unit,
		Limit: g.Gauge.Limit.Usual, Level: c.Trend.At(q.f.Day.Today), Sure: c.Trend.Sure, PerMonth: c.Trend.PerMonth(),
		Early: DateOrNil(g.Window.Early), Likely: DateOrNil(g.Window.Likely), Late: DateOrNil(g.Window.Late),
		Readings: []ReadingInfo{}, Says: say.Condition(x, g, q.f.Day.Today, q.f.Day.opener.Spell),
	}
	for _, r := range c.Trend.Readings {
		info.Readings = append(info.Readings, ReadingInfo{On: r.On, Record: r.Record, Value: r.Value, FarOff: r.FarOff, Before: r.Before})
	}
	return info
}
