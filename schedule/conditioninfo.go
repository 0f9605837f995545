package schedule

import (
	"fmt"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/deposit"
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

// Conditions returns what all condition checks of a place say.
func (f *Forecast) Conditions() []ConditionInfo {
	all := []ConditionInfo{}
	for _, x := range f.outcomes {
		for _, g := range x.Gauges {
			if g.Condition != nil {
				all = append(all, conditionInfo(x, g, f.Day.Today))
			}
		}
	}
	return all
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
