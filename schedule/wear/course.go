package wear

import (
	"slices"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// CoursePoint is where a gauge stood, or will stand if nothing is done, on a day.
type CoursePoint struct {
	On      record.Date        `json:"on"`
	Reading figure.Percentiles `json:"reading"`         // 0 fresh, 1 at the limit
	Amount  figure.Percentiles `json:"amount"`          // in the unit of the limit
	Fresh   bool               `json:"after_a_service"` // the course starts anew here: a service, whole or in part, came between
}

// How many points tell a course: on the way from one service to the next, and to
// come. The steps to come grow, since what is near matters most.
const (
	lifePoints  = 6
	aheadPoints = 24
)

// coursing is what is sampled of a duty's gauges in each of some worlds.
type coursing struct {
	steps   []courseStep
	samples [][][]float64 // by gauge and step: a reading for each world, then an amount for each
	worlds  int
}

// courseStep is a knot at which the gauges are looked at.
type courseStep struct {
	knot    int
	service int // index in the duty's services of the one that starts a life here; -1 for none
}

// courseOf chooses where a duty's gauges are looked at: from the first day of
// which all is known, life after life, up to the horizon.
func (r *run) courseOf(d *dutyRun) *coursing {
	worlds := (r.house.Draws.Worlds + r.againEvery() - 1) / r.againEvery()
	c := &coursing{worlds: worlds}
	from := d.Since
	if from < r.span.first || d.unknown() {
		from = d.since()
	}
	life := func(from, to record.Date, service int) {
		for i := range lifePoints {
			step := courseStep{knot: r.grid.at(from + (to-from)*record.Date(i)/(lifePoints-1)), service: -1}
			if i == 0 {
				step.service = service
			}
			if n := len(c.steps); i == 0 || c.steps[n-1].knot < step.knot {
				c.steps = append(c.steps, step)
			}
		}
	}
	start, service := from, -1
	for i, s := range d.services {
		switch {
		case s.On <= from && s.On == d.since() && i == d.base:
			service = i // it starts fresh there anyway
		case s.On > from && s.On <= r.span.today:
			life(start, s.On, service)
			start, service = s.On, i
		}
	}
	life(start, r.span.today, service)
	ahead := r.span.last - r.span.today
	for i := range aheadPoints {
		share := float64(i+1) / aheadPoints
		knot := r.grid.at(r.span.today + record.Date(share*share*float64(ahead)))
		if knot > c.steps[len(c.steps)-1].knot {
			c.steps = append(c.steps, courseStep{knot: knot, service: -1})
		}
	}
	for range d.gauges {
		samples := make([][]float64, len(c.steps))
		for i := range samples {
			samples[i] = make([]float64, 2*worlds)
		}
		c.samples = append(c.samples, samples)
	}
	return c
}

// look takes the readings of one world.
func (c *coursing) look(w *worldState, d *dutyRun, world, index int) {
	total := w.exposure[d.slot]
	for k, g := range d.gauges {
		state, knot := d.begun(g, g.Start(world, Service{}), w), c.steps[0].knot
		for i, step := range c.steps {
			if step.service >= 0 && i > 0 {
				before := g.after(state, total, knot, step.knot)
				state, knot = g.Start(world, Service{Left: d.services[step.service].Body.Left, Before: before}), step.knot
			}
			now := state
			if step.knot > knot {
				now = g.after(state, total, knot, step.knot)
			}
			c.samples[k][i][index] = g.Reading(now)
			c.samples[k][i][c.worlds+index] = g.Amount(now)
		}
	}
}

// points returns the course of one gauge.
func (c *coursing) points(r *run, k int) []CoursePoint {
	points := make([]CoursePoint, len(c.steps))
	over := func(values []float64) figure.Percentiles {
		slices.Sort(values)
		return figure.By(func(share float64) float64 { return figure.Quantile(values, share) })
	}
	for i, step := range c.steps {
		samples := c.samples[k][i]
		points[i] = CoursePoint{On: r.grid.knots[step.knot], Reading: over(samples[:c.worlds]), Amount: over(samples[c.worlds:]), Fresh: step.service >= 0 && i > 0}
	}
	return points
}
