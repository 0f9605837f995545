package day

import (
	"context"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// Imagined returns what would be expected of a place that was set up today and of
// which nothing is written down but these water tests, by so many worlds. Nothing is
// kept.
func Imagined(ctx context.Context, c *care.Catalogue, today record.Date, s schedule.Setup, tests []record.WaterTest, worlds int) ([]wear.Outcome, error) {
	entries := []record.Entry{{ID: 1, Place: s.Place.ID, Effective: today, Body: s.Place}}
	add := func(on record.Date, body record.Body) {
		entries = append(entries, record.Entry{ID: int64(len(entries) + 1), Place: s.Place.ID, Effective: on, Body: body})
	}
	for _, e := range s.Equipment {
		e = e.Completed(record.Equipment{}, false, today)
		add(e.Bought, e)
	}
	for _, t := range tests {
		add(today, t)
	}
	d, err := newDay(&Opener{Catalogue: c}, dayKey{place: s.Place.ID, today: today, worlds: worlds, months: DefaultPlanMonths, catalogue: c}, record.NewBook(today, entries, nil))
	if err != nil {
		return nil, err
	}
	return wear.Forecast(ctx, d.Household())
}
