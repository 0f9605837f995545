package day

import (
	"cmp"
	"slices"

	"limekeep/water/figure"
)

// Stand is where the gauge of a task stands that has come furthest.
type Stand struct {
	Task    string             `json:"task"`
	Title   string             `json:"title"`
	Name    string             `json:"equipment_name"`
	Gauge   string             `json:"gauge"`
	Reading figure.Percentiles `json:"reading"` // 0 fresh, 1 at the limit
}

// Highest returns the tasks whose gauges stand highest, the highest first and one
// gauge of each, so many at the most. What comes round within days is not among them.
func (f *Forecast) Highest(most int) []Stand {
	var all []Stand
	for _, x := range f.outcomes {
		if f.routine(x) {
			continue
		}
		highest := Stand{Task: x.Duty.ID, Title: x.Duty.Title, Name: x.Duty.Equipment.Title()}
		for _, g := range x.Gauges {
			if g.Reading.Likely > highest.Reading.Likely {
				highest.Gauge, highest.Reading = g.Gauge.Name, g.Reading
			}
		}
		if highest.Gauge != "" {
			all = append(all, highest)
		}
	}
	slices.SortStableFunc(all, func(a, b Stand) int { return cmp.Compare(b.Reading.Likely, a.Reading.Likely) })
	return all[:min(most, len(all))]
}
