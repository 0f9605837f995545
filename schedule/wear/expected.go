package wear

import (
	"math"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// Expected is what a service or a check of the days to come is likely to find, as
// it was to be expected before anybody looked.
type Expected struct {
	Of     ExpectedOf
	Gauge  string  // that is measured, of water the quantity; empty where all gauges of the part speak together
	Part   string  // of what is measured; empty where the check is of the whole
	EyeMM  float64 // of scale: mm on the wall that the eye takes a gram for
	Noise  float64 // of what is measured: standard deviation of a reading about the line
	Points []ExpectedPoint
}

// ExpectedOf names what is expected.
type ExpectedOf string

// What a finding or a reading can be about.
const (
	ExpectedPart  ExpectedOf = "part"     // share of its limit that a part has reached, by the gauge that is furthest
	ExpectedScale ExpectedOf = "scale"    // grams in a vessel
	ExpectedCheck ExpectedOf = "measured" // departure from the reference, in the unit of the gauge
	ExpectedWater ExpectedOf = "water"    // what a test of the water will say before any treatment, mg/L as CaCO3
)

// ExpectedPoint is what is to be expected on one day: the quantiles at
// ExpectedShares, over the worlds.
type ExpectedPoint struct {
	On record.Date
	At [len(ExpectedShares)]float64
}

// ExpectedShares are the shares of the worlds that an expected amount is told for.
var ExpectedShares = [...]float64{0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98}

// expectedDays are how far ahead of today it is told: soon, and far enough that a
// line from one to the other holds in between.
var expectedDays = [...]record.Date{0, 28, 364}

// leastForReference is how many readings have to count before the next one is
// foreseen: from then on the reference of a check stands.
const leastForReference = 3

// expectation is what the worlds are asked about, for an Expected.
type expectation struct {
	of    ExpectedOf
	gauge int // of what is measured
}

// expects lists what can be found of a duty.
func (d *dutyRun) expects() []expectation {
	var all []expectation
	switch {
	case d.Task == nil || len(d.gauges) == 0:
		return nil
	case d.Task.Findings == care.FindsPart && d.absent == nil:
		all = append(all, expectation{of: ExpectedPart})
	case d.Task.Findings == care.FindsScale && d.vessel != nil && d.multipliers != nil:
		all = append(all, expectation{of: ExpectedScale})
	}
	for k, g := range d.gauges {
		if g.condition != nil && g.condition.Trend.Counted >= leastForReference {
			all = append(all, expectation{of: ExpectedCheck, gauge: k})
		}
	}
	return all
}

// ahead notes in one world what will be found on the days that are asked about,
// for each thing that is expected. What will be measured the readings alone tell,
// the same in every world.
func (r *run) ahead(c *crossings, w *worldState, d *dutyRun, world int) {
	total, today := w.exposure[d.slot], r.grid.today
	for i, e := range d.expectations {
		if e.of == ExpectedCheck {
			continue
		}
		for k, knot := range r.grid.expected {
			amount := 0.0
			switch e.of {
			case ExpectedPart:
				for j, g := range d.gauges {
					amount = max(amount, g.Reading(g.after(w.today[j], total, today, knot)))
				}
			case ExpectedScale:
				j := slices.IndexFunc(d.gauges, func(g *dutyGauge) bool { return g.kind == care.Deposited })
				amount = d.gramsHeld(world, d.gauges[j].after(w.today[j], total, today, knot).Amount)
			}
			c.ahead[i*len(expectedDays)+k][world] = amount
		}
	}
}

// expected gathers what all worlds say.
func (r *run) expected(d *dutyRun, c *crossings) []Expected {
	var all []Expected
	for i, e := range d.expectations {
		x := Expected{Of: e.of}
		switch e.of {
		case ExpectedScale:
			x.EyeMM = d.vessel.shape.mmPerGram(usualPorosity.Likely)
		case ExpectedCheck:
			g := d.gauges[e.gauge]
			x.Gauge, x.Part, x.Noise = g.bound.Name, g.condition.Part, g.condition.Trend.Noise
			for _, knot := range r.grid.expected {
				x.Points = append(x.Points, g.condition.expectedOn(r.grid.knots[knot]))
			}
			all = append(all, x)
			continue
		}
		for k, knot := range r.grid.expected {
			amounts := c.ahead[i*len(expectedDays)+k]
			figure.SelectQuantiles(amounts, ExpectedShares[:]...)
			point := ExpectedPoint{On: r.grid.knots[knot]}
			for s, share := range ExpectedShares {
				point.At[s] = figure.Quantile(amounts, share)
			}
			x.Points = append(x.Points, point)
		}
		all = append(all, x)
	}
	return all
}

// expectedWater is what tests of a line's water before any treatment are likely to say of
// its hardness and alkalinity, by how the water drifts from the last test on.
func (r *run) expectedWater(lw *LineWater) []Expected {
	hardness, alkalinity := Expected{Of: ExpectedWater, Gauge: string(water.Hardness)}, Expected{Of: ExpectedWater, Gauge: string(water.Alkalinity)}
	hard, alkali := make([]float64, r.house.Draws.Worlds), make([]float64, r.house.Draws.Worlds)
	for _, days := range expectedDays {
		on := r.span.today + days
		of := lw.drifting(on)
		for w := range hard {
			state := lw.in(w, &of)
			hard[w], alkali[w] = lw.load(w, &state)
		}
		hardness.Points = append(hardness.Points, pointOf(on, hard))
		alkalinity.Points = append(alkalinity.Points, pointOf(on, alkali))
	}
	return []Expected{hardness, alkalinity}
}

// pointOf gathers what the worlds say of a water on a day, meq/L.
func pointOf(on record.Date, meq []float64) ExpectedPoint {
	p := ExpectedPoint{On: on}
	figure.SelectQuantiles(meq, ExpectedShares[:]...)
	for s, share := range ExpectedShares {
		p.At[s] = figure.Quantile(meq, share) * water.EquivalentMassCaCO3
	}
	return p
}

// expectedOn is where the line through the readings will be read on a day. It may
// stand below its reference, as readings do, where the gauge of wear stands at 0; one
// that grows no worse is taken to stay where it is, as the gauge does.
func (c *Condition) expectedOn(on record.Date) ExpectedPoint {
	t, last := c.Trend, c.latestDay()
	slope, slopeSD := 0.0, 0.0
	if t.Sure {
		slope, slopeSD = t.Slope, t.SlopeSD
	}
	until := on
	if slope <= 0 {
		until = min(on, last)
	}
	level := t.Level + slope*(float64(until)-t.Middle)
	pace := paceLogSD * slope * float64(max(until-last, 0))
	sd := math.Sqrt(t.LevelSD*t.LevelSD + math.Pow(slopeSD*(float64(until)-t.Middle), 2) + pace*pace)
	p := ExpectedPoint{On: on}
	for i, share := range ExpectedShares {
		p.At[i] = level + sd*figure.NormalQuantile(share)
	}
	return p
}
