package wear

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/water/deposit"
	"limekeep/water/figure"
)

// VesselScale is what a vessel's forecast rests on.
type VesselScale struct {
	WallCelsius      float64
	LitresPerWeek    float64            // to come
	MgPerLitre       figure.Percentiles // what a litre could lay down today
	Multiplier       figure.Percentiles // share of it that ends as scale
	Grams            figure.Percentiles // in the vessel today
	MM               figure.Percentiles // on the wall today
	ExcessKelvin     figure.Percentiles // by which an immersed element runs hotter for it
	WarmUpSeconds    figure.Percentiles // that each warm-up takes longer for it
	Watts            float64            // of the heater
	FlowLost         figure.Percentiles // share of the flow lost at the smallest bore; zero where it is not known
	SilicaMgPerLitre figure.Percentiles // in a steam boiler today; zero for others
	Concentrated     figure.Percentiles // of a steam boiler: its water against its feed today; zero for others
	Treated          bool               // an exchanger stands before it
	LastTest         record.Date        // zero where the water was never tested
	District         string             `json:",omitempty"` // whose water that test was of; empty for the place's own
	Drains           *DrainEffect       // of a steam boiler

	// What nobody said of it, and so is as such vessels usually have it: within the
	// factor either way in eight of ten. Zero where it is known.
	AssumedLitres, AssumedWatts, AssumedWithin float64

	Before       string      // stage of its line of which nobody knows what stood in its place before BeforeDay, where that counts; empty for none
	BeforeDay    record.Date // the day it was fitted
	WaterNarrows float64     // days by which a first test of its water would narrow its window, about
}

// vesselScale gathers what a vessel's forecast rests on.
func (r *run) vesselScale(d *dutyRun, c *crossings) *VesselScale {
	v := d.vessel
	line := v.machine.line
	scale := &VesselScale{
		WallCelsius: v.shape.wallCelsius,
		MgPerLitre:  figure.Over(c.mg),
		Grams:       figure.Over(c.grams),
		Multiplier:  figure.Over(d.multipliers),
	}
	r.layer(scale, d, c.grams)
	if b := v.boiler; b != nil {
		scale.Concentrated = figure.Over(c.concentration)
		scale.Drains = r.drains(v, scale.Multiplier.Likely)
		now := b.line.undrifted(r.span.today)
		silica := make([]float64, len(c.concentration))
		for w, concentration := range c.concentration {
			silica[w] = b.analysis(w, &now, concentration).SilicaMgPerKg
		}
		scale.SilicaMgPerLitre = figure.OverInPlace(silica)
	}
	if v.shape.guessedSize {
		scale.AssumedLitres = v.shape.litres
	}
	if v.Watts == 0 && v.shape.immersed() {
		scale.AssumedWatts = v.shape.watts
	}
	scale.AssumedWithin = math.Exp(figure.NormalQuantile(figure.HighShare) * guessLogSD)
	for _, x := range line.exchangers {
		if x.before != nil && x.stage.Before == "" && d.since() < x.fitted {
			scale.Before, scale.BeforeDay = x.stage.ID, x.fitted
		}
	}
	if !line.water.Known {
		scale.WaterNarrows = narrows(r.span, c.due, func(world int) float64 { return c.mg[world] })
	}
	for i := range record.Date(7 * weeksAhead) {
		day := v.machine.timeline.On(r.span.today + 1 + i)
		if v.shape.brews() {
			scale.LitresPerWeek += day.BrewLitres / weeksAhead
		} else {
			scale.LitresPerWeek += (day.SteamLitres + day.HotWaterLitres) / weeksAhead
		}
	}
	if lw := line.water; lw.Known {
		scale.LastTest, scale.District = lw.Tests[len(lw.Tests)-1].On, lw.district
	}
	for _, other := range r.duties {
		if other.line == line && other.stage != nil && other.stage.Kind.Exchanges() {
			scale.Treated = true
		}
	}
	return scale
}

// elementKJPerK is the heat that an element of home size takes up itself: about
// 0.4 kg of steel at 0.5 kJ/(kg·K). Assumption.
const elementKJPerK = 0.2

// layer says what the deposit does where it lies.
func (r *run) layer(scale *VesselScale, d *dutyRun, grams []float64) {
	n, shape := len(grams), d.vessel.shape
	wall, shell := shape.layers(r.house.Draws, d.block())
	conducts := r.house.Draws.Uniforms(d.block(), "conductivity")
	mm, excess, lost, late := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for w, g := range grams {
		mm[w] = g * wall[w]
		if shape.immersed() {
			excess[w] = deposit.ElementExcessKelvin(elementKWPerM2, mm[w], scaleConductivity.At(conducts[w]))
			_, late[w] = deposit.ScaledElement{ElementKJPerK: elementKJPerK, ScaleGrams: g * shape.wallShare,
				ExcessKelvin: excess[w], Watts: shape.watts}.WarmUpLoss()
		}
		if shape.boreMM > 0 {
			lost[w] = 1 - deposit.OrificeFlowShare(shape.boreMM, min(g*shell[w], shape.boreMM/2))
		}
	}
	scale.MM, scale.ExcessKelvin, scale.FlowLost, scale.WarmUpSeconds = figure.OverInPlace(mm), figure.OverInPlace(excess), figure.OverInPlace(lost), figure.OverInPlace(late)
	scale.Watts = shape.watts
}
