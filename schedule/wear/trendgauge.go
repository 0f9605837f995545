package wear

import (
	"math"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// trendGauge is the gauge of something that is measured: it stands where the
// line through the readings stands, and goes on as the line does. What is
// unknown is the line, within its errors, and the limit.
type trendGauge struct {
	prior  figure.Percentiles
	limits []float64 // one a world
	wait   float64   // days from the last service to the first reading
	levels []float64 // one a world: on the day of the first reading
	paces  []float64 // one a world: a day, 0 or more
}

func (g *trendGauge) Start(world int, s Service) State {
	if s.Left > 0 { // a job half done changes nothing that was measured
		return s.Before
	}
	return State{Factor: 1, Limit: g.limits[world], Wait: g.wait, Level: g.levels[world], Pace: g.paces[world]}
}

func (g *trendGauge) Advance(s State, e care.Exposure) State {
	if e.Days <= 0 {
		return s
	}
	days := e.Days
	if s.Wait > 0 {
		waited := math.Min(s.Wait, days)
		s.Wait -= waited
		days -= waited
		if s.Wait > 0 {
			return s
		}
	}
	if !s.Measured {
		s.Measured, s.Amount = true, s.Level
	}
	s.Amount += s.Pace * days
	return s
}

func (g *trendGauge) Reading(s State) float64 { return s.reading() }

// Amount is the departure from the reference, in the unit of the limit.
func (g *trendGauge) Amount(s State) float64 { return s.Amount }

// Likelihood says nothing: what was found is judged by the other gauges.
func (g *trendGauge) Likelihood(State, record.Service) float64 { return 1 }

func (g *trendGauge) Unknown() figure.Percentiles { return g.prior }

func (g *trendGauge) Assume(s State, value float64) State {
	s.Limit = value
	return s
}

// paceLogSD is how far the wear of the years to come may differ from that of
// the readings, as log standard deviation. Assumption.
const paceLogSD = 0.2

// leastReadings is how many readings have to agree before anything follows from
// them: one alone may be a slip.
const leastReadings = 2

// newTrendGauge draws the line of each world. Without a reading the gauge stands
// at 0 for ever.
func newTrendGauge(d Draws, block string, bound care.BoundGauge, c *Condition, since record.Date) *trendGauge {
	limit := bound.Limit.Percentiles()
	g := &trendGauge{
		prior: limit, limits: limit.Draw(d.Uniforms(block, "limit/"+bound.Name)),
		levels: make([]float64, d.Worlds), paces: make([]float64, d.Worlds),
	}
	if c == nil || c.Trend.Counted < leastReadings {
		return g
	}
	t := c.Trend
	g.wait = math.Max(0, float64(t.First-since))
	passed := math.Max(0, float64(since-t.First)) // of what was measured before the part's story begins
	levels := d.Uniforms(block, "level/"+bound.Name)
	slopes := d.Uniforms(block, "slope/"+bound.Name)
	paces := figure.LogNormal(d.Uniforms(block, "pace/"+bound.Name), paceLogSD)
	for w := range g.levels {
		level, slope := t.Level+t.LevelSD*figure.NormalQuantile(levels[w]), 0.0
		if t.Sure {
			slope = t.Slope + t.SlopeSD*figure.NormalQuantile(slopes[w])
		}
		last := c.latestDay()
		switch {
		case slope <= 0: // it does not grow worse: it stays where it now is
			g.levels[w] = math.Max(0, level+slope*(float64(last)-t.Middle))
		default:
			g.paces[w] = slope * paces[w]
			// The line through the readings is known; its pace differs only from
			// the last reading on, so it starts where that makes it meet.
			g.levels[w] = level + slope*(float64(last)-t.Middle) - g.paces[w]*(float64(last-t.First)-passed)
		}
	}
	return g
}
