package boiler

import (
	"fmt"

	"limekeep/water"
	"limekeep/water/deposit"
	"limekeep/water/equilibrium"
)

// DrainPlan is a steam boiler that is run the same every day and partly
// drained and refilled on some.
type DrainPlan struct {
	WaterKg   float64
	Daily     Day     // without the drain
	EveryDays int     // days from one drain to the next; 0 never
	DrainKg   float64 // each time, made up by as much feed
	Days      int     // how long, from a filling with fresh feed

	Celsius  float64 // 100 to 140
	SIOffset float64 // as in ClosedPrecipitation
	Brucite  bool
}

// DrainOutcome is what a plan comes to.
type DrainOutcome struct {
	deposit.Solids
	FedKg float64
	Last  water.Totals // dissolved at the end, mol/kg
	Most  water.Totals // dissolved on the day when there was most chloride, mol/kg
}

// Drains works out what a plan comes to with a feed of these totals. The error
// is that of Step, with the day.
func Drains(s *equilibrium.Solver, feed water.Totals, p DrainPlan) (DrainOutcome, error) {
	var out DrainOutcome
	if p.Days < 1 || p.Days > 10_000 {
		return out, water.CheckRange("days of a plan", float64(p.Days), 1, 10_000)
	}
	state, d, err := Step(s, State{}, feed, Day{FeedKg: p.WaterKg}, p.Celsius, p.SIOffset, p.Brucite)
	if err != nil {
		return out, fmt.Errorf("the first filling: %w", err)
	}
	out.Solids, out.FedKg = d.Solids, p.WaterKg
	for i := 1; i <= p.Days; i++ {
		if state, d, err = Step(s, state, feed, p.Daily, p.Celsius, p.SIOffset, p.Brucite); err != nil {
			return out, fmt.Errorf("day %d: %w", i, err)
		}
		out.Solids = out.Solids.Plus(d.Solids)
		out.FedKg += p.Daily.FeedKg
		if w := d.Solution.Totals; w.Chloride > out.Most.Chloride {
			out.Most = w
		}
		if p.EveryDays < 1 || i%p.EveryDays != 0 {
			continue
		}
		drain := Day{FeedKg: p.DrainKg, DrainKg: p.DrainKg}
		if state, d, err = Step(s, state, feed, drain, p.Celsius, p.SIOffset, p.Brucite); err != nil {
			return out, fmt.Errorf("the drain on day %d: %w", i, err)
		}
		out.Solids = out.Solids.Plus(d.Solids)
		out.FedKg += p.DrainKg
	}
	out.Last = state.Dissolved
	return out, nil
}

// CompareDrains works out a plan without its drains and with them: what is
// saved in chloride and the like, and what it costs in water and, since more is
// fed, mostly in scale.
func CompareDrains(s *equilibrium.Solver, feed water.Totals, p DrainPlan) (without, with DrainOutcome, err error) {
	never := p
	never.EveryDays = 0
	if without, err = Drains(s, feed, never); err != nil {
		return without, with, err
	}
	with, err = Drains(s, feed, p)
	return without, with, err
}
