package wear

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// boilerGauge is the gauge of what gathers in the water of a steam boiler:
// chloride, alkalinity, dissolved solids. State.Amount is by how much the water
// is concentrated beyond its feed, in multiples of the feed.
type boilerGauge struct {
	prior  figure.Percentiles
	limits []float64 // mg/L, one a world
	boiler *steamWater
	of     func(water.Analysis) float64 // what of its water counts, mg/L
	now    waterState                   // the day whose water counts
}

// newBoilerGauge makes the gauge of a driver of the kind.
func newBoilerGauge(driver care.Driver, prior figure.Percentiles, limits []float64, b *steamWater, today record.Date) *boilerGauge {
	return &boilerGauge{prior: prior, limits: limits, boiler: b, of: driver.InBoiler(), now: b.line.undrifted(today)}
}

func (g *boilerGauge) Start(world int, s Service) State {
	state := restart(s, 1, g.limits[world])
	state.World = world
	return state
}

// Advance lets salts gather. A run of days counts as evenly drawn.
func (g *boilerGauge) Advance(s State, e care.Exposure) State {
	s.Amount = g.boiler.concentrate(s.World, 1+s.Amount, e.Litres-e.DrawnLitres, e.DrawnLitres) - 1
	return s
}

func (g *boilerGauge) Reading(s State) float64 { return g.Amount(s) / s.Limit }

// Amount is the mg per litre in the boiler, of the water as it is today.
func (g *boilerGauge) Amount(s State) float64 {
	return g.of(g.boiler.analysis(s.World, &g.now, 1+s.Amount))
}

// Likelihood is 1: nobody sees salts.
func (g *boilerGauge) Likelihood(State, record.Service) float64 { return 1 }

func (g *boilerGauge) Unknown() figure.Percentiles { return g.prior }

func (g *boilerGauge) Assume(s State, value float64) State {
	s.Limit = value
	return s
}
