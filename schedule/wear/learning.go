package wear

import (
	"limekeep/schedule/care"
	"limekeep/water/figure"
)

// learningWorlds is how many worlds stand in for use and water while a block
// learns from what was found.
const learningWorlds = 200

// knowledge is what findings taught of a gauge's unknown: where nothing is learned
// it draws what the prior draws.
type knowledge interface {
	draw(d Draws, block, unknown string) []float64
}

// learn lets each duty whose services found something learn from it, and builds
// its gauges anew.
func (r *run) learn() error {
	duties := r.those(func(d *dutyRun) bool { return d.finds() && len(d.gauges) > 0 })
	if len(duties) == 0 {
		return nil
	}
	observed := make([][][]observation, len(duties)) // by duty, then world
	for i := range observed {
		observed[i] = make([][]observation, min(learningWorlds, r.house.Draws.Worlds))
	}
	err := r.worlds(min(learningWorlds, r.house.Draws.Worlds), func(w *worldState, world int) {
		for i, d := range duties {
			observed[i][world] = r.observe(w, d, world)
		}
	})
	if err != nil {
		return err
	}
	for i, d := range duties {
		g := d.gauges[0]
		d.learned = &Learned{Findings: len(observed[i][0]), Observed: overWorlds(observed[i])}
		surprises(g, observed[i], d.learned.Observed)
		var k knowledge
		if g.kind == care.Counted {
			limits := learnLimit(g, g.Unknown(), observed[i], d.parts())
			k, d.learned.Before, d.learned.After = limits, limits.prior, figure.OverInPlace(limits.draw(r.house.Draws, d.block(), "limit/"+g.bound.Name))
		} else {
			p := newPosterior(g.Unknown())
			d.learned.Before = p.points()
			p.learn(g, observed[i])
			k, d.learned.After = p, p.points()
		}
		if err := d.build(r.house.Draws, k); err != nil {
			return err
		}
	}
	return nil
}

// observe gives the state that each service met in one world, with what it
// found, for those services that found something.
func (r *run) observe(w *worldState, d *dutyRun, world int) []observation {
	g := d.gauges[0]
	total := w.exposure[d.slot]
	state := g.Start(world, Service{})
	var observed []observation
	part := 0
	knot := r.grid.at(d.Fitted)
	if p := d.past; p != nil {
		knot = r.grid.at(p.until)
		days := min(p.ages.at(p.shares[world])*r.life(d, total, world), p.mostDays(world))
		state = g.Advance(state, r.lived(p, total, world, days))
	}
	for _, service := range d.services {
		to := r.grid.at(service.On)
		state = g.Advance(state, total.from(knot, to))
		if found(service) {
			observed = append(observed, observation{state: state, found: service.Body, part: part, service: service.ID, on: service.On})
		}
		state = g.Start(world, Service{Left: service.Body.Left, Before: state})
		knot = to
		if service.Body.Left == 0 {
			part++
		}
	}
	return observed
}

// overWorlds gathers what had gathered at each finding, over the worlds.
func overWorlds(worlds [][]observation) []Observed {
	all := make([]Observed, len(worlds[0]))
	for i, o := range worlds[0] {
		amounts := make([]float64, len(worlds))
		for w := range worlds {
			amounts[w] = worlds[w][i].state.Amount
		}
		all[i] = Observed{Service: o.service, On: o.on, Part: o.part, Found: o.found, Amount: figure.OverInPlace(amounts)}
	}
	return all
}
