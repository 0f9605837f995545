package wear

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/water"
)

// teachingWorlds is how many worlds stand in for use and water while a block
// learns from what was found.
const teachingWorlds = 200

// teach lets each duty whose services found something learn from it, and
// builds its gauges anew.
func (r *run) teach() error {
	var taught []*subject
	for _, s := range r.subjects {
		if s.finds() && len(s.gauges) > 0 {
			taught = append(taught, s)
		}
	}
	if len(taught) == 0 {
		return nil
	}
	stories := make([][][]met, len(taught)) // by subject, then world
	for i := range stories {
		stories[i] = make([][]met, min(teachingWorlds, r.house.Draws.Worlds))
	}
	r.worlds(func(sc *scene, world int) {
		if world >= teachingWorlds {
			return
		}
		for i, s := range taught {
			stories[i][world] = r.story(sc, s, world)
		}
	})
	for i, s := range taught {
		p := newPosterior(s.gauges[0].Unknown())
		before := p.points()
		p.learn(s.gauges[0], stories[i])
		if err := s.build(r.house.Draws, r.shapes, p); err != nil {
			return err
		}
		s.taught = &Taught{Findings: len(stories[i][0]), Before: before, After: p.points()}
	}
	return nil
}

// story gives the state that each service met in one world, with what it found,
// for those services that found something.
func (r *run) story(sc *scene, s *subject, world int) []met {
	g := s.gauges[0]
	total := sc.sums(s)
	state := g.Start(world, Service{})
	var story []met
	knot := r.grid.at(s.duty.Fitted)
	for _, service := range s.services {
		to := r.grid.at(service.On)
		state = g.Advance(state, total.from(knot, to))
		if service.Body.Finding != "" || service.Body.Grams > 0 {
			story = append(story, met{state: state, found: service.Body})
		}
		state = g.Start(world, Service{Left: service.Body.Left, Before: state})
		knot = to
	}
	return story
}

// conversionsOf draws the share of its potential that water lays down in a
// vessel: all of it where it stands, less where it only passes.
func conversionsOf(d Draws, key string, shape vesselShape) []float64 {
	uniforms := d.Uniforms("part/"+key, "precipitation time")
	seconds, passing := shape.residenceSeconds()
	volume := guesses(d, "part/"+key, "volume", shape.guessedSize)
	for w, u := range uniforms {
		uniforms[w] = 1
		if passing {
			tau := precipitationSecondsLow * math.Pow(precipitationSecondsHigh/precipitationSecondsLow, u)
			uniforms[w] = water.Conversion(seconds*volume[w], tau)
		}
	}
	return uniforms
}

// doubt works out when a line's water is too little known for the forecast it
// feeds: the spread, over all worlds, of what it could lay down in the vessel
// that scales most. It grows from test to test as the supply drifts.
func (r *run) doubt(s *subject) Outcome {
	line := s.duty.Equipment.ID
	lw := r.waters[line]
	o := Outcome{Duty: s.duty, Since: s.duty.Since, Doubt: &DoubtFacts{}}
	if lw.Known {
		o.Doubt.LastTest = lw.Tests[len(lw.Tests)-1].On
		o.Since = o.Doubt.LastTest
	}
	if n := len(s.services); n > 0 {
		o.Served = s.services[n-1].ID
	}
	// Worked out each half year, twice the drift's step, and straight between.
	var steps []record.Date
	var spreads []float64
	for on := o.Since; ; on += 2 * driftDays {
		steps = append(steps, on)
		spreads = append(spreads, r.waterSpread(lw, line, on))
		if on > r.span.last {
			break
		}
	}
	o.Doubt.LogSD = r.waterSpread(lw, line, r.span.today)
	limits := drawn(Spread{s.doubt.Limit.Low, s.doubt.Limit.Usual, s.doubt.Limit.High},
		r.house.Draws.Uniforms(s.block(), "limit/"+s.doubt.Name))
	crossings := make([]record.Date, len(limits))
	readings := make([]float64, len(limits))
	amounts := make([]float64, len(limits))
	for w, limit := range limits {
		crossings[w] = reaches(steps, spreads, limit, r.span.last)
		readings[w], amounts[w] = o.Doubt.LogSD/limit, o.Doubt.LogSD
	}
	o.Window, o.Due = newWindow(crossings), newQuantiles(crossings)
	for _, fresh := range r.house.Again {
		// A test made then starts as this one did.
		o.Again = append(o.Again, newQuantiles(shifted(crossings, fresh-o.Since)))
	}
	o.Gauges = []GaugeOutcome{{Gauge: *s.doubt, Reading: newPoints(readings), Amount: newPoints(amounts), Window: o.Window}}
	return o
}

// reaches gives the day on which a spread that was worked out on some days first
// reaches a limit; never after the last day that counts.
func reaches(days []record.Date, spreads []float64, limit float64, last record.Date) record.Date {
	for i, spread := range spreads {
		if spread < limit {
			continue
		}
		on := days[i]
		if i > 0 {
			share := (limit - spreads[i-1]) / (spread - spreads[i-1])
			on = days[i-1] + record.Date(math.Ceil(share*float64(days[i]-days[i-1])))
		}
		if on > last {
			return never
		}
		return on
	}
	return never
}

// leastScaleMg keeps the logarithm of a water that lays down nothing finite;
// whether that is 0 or 3 mg a litre no vessel will tell.
const leastScaleMg = 3.0

// waterSpread gives the log standard deviation, over the worlds, of what the
// line's raw water could lay down in that of its vessels where it lays down
// most: what it does where it does little decides nothing.
func (r *run) waterSpread(lw *LineWater, line string, on record.Date) float64 {
	var most, spread float64
	for _, e := range r.house.Equipment {
		if e.Machine == nil || e.Machine.Line != line {
			continue
		}
		for _, v := range e.Machine.Vessels {
			var mean, sum, squares float64
			for w := range r.house.Draws.Worlds {
				raw := r.laysDown(lw, e.ID+"/"+v.ID, w, lw.moment(w, on))
				x := math.Log(max(raw, leastScaleMg))
				mean += raw
				sum += x
				squares += x * x
			}
			n := float64(r.house.Draws.Worlds)
			if mean/n >= most {
				most, spread = mean/n, math.Sqrt(max(0, squares/n-(sum/n)*(sum/n)))
			}
		}
	}
	return spread
}

// laysDown gives the mg that a litre of the line's water, behind spent
// exchangers, could lay down in a vessel.
func (r *run) laysDown(lw *LineWater, vessel string, world int, m moment) float64 {
	if b, ok := r.boilers[vessel]; ok {
		return b.scale(world, m, 1, 1)
	}
	spent, _ := lw.deposit(world, m, r.shapes[vessel])
	return spent
}

// shifted moves crossings by so many days; what was never stays so.
func shifted(crossings []record.Date, days record.Date) []record.Date {
	moved := make([]record.Date, len(crossings))
	for i, c := range crossings {
		if moved[i] = c; c != never {
			moved[i] += days
		}
	}
	return moved
}
