package wear

// learningWorlds is how many worlds stand in for use and water while a block
// learns from what was found.
const learningWorlds = 200

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
	r.worlds(func(w *worldState, world int) {
		if world >= learningWorlds {
			return
		}
		for i, d := range duties {
			observed[i][world] = r.observe(w, d, world)
		}
	})
	for i, d := range duties {
		p := newPosterior(d.gauges[0].Unknown())
		before := p.points()
		p.learn(d.gauges[0], observed[i])
		if err := d.build(r.house.Draws, p); err != nil {
			return err
		}
		d.learned = &Learned{Findings: len(observed[i][0]), Before: before, After: p.points()}
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
	knot := r.grid.at(d.Fitted)
	for _, service := range d.services {
		to := r.grid.at(service.On)
		state = g.Advance(state, total.from(knot, to))
		if found(service) {
			observed = append(observed, observation{state: state, found: service.Body})
		}
		state = g.Start(world, Service{Left: service.Body.Left, Before: state})
		knot = to
	}
	return observed
}
