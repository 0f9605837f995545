package wear

import (
	"math"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
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
	duties, keys, err := r.untaught(r.those(func(d *dutyRun) bool { return d.finds() && len(d.gauges) > 0 }))
	if err != nil || len(duties) == 0 {
		return err
	}
	observed := make([][][]observation, len(duties)) // by duty, then world
	for i := range observed {
		observed[i] = make([][]observation, min(learningWorlds, r.house.Draws.Worlds))
	}
	past := r.past(duties)
	err = past.worlds(min(learningWorlds, r.house.Draws.Worlds), func(w *worldState, world int) {
		for i, d := range duties {
			observed[i][world] = past.observe(w, d, world)
		}
	})
	if err != nil {
		return err
	}
	gathered, err := r.gathered(duties)
	if err != nil {
		return err
	}
	for i, d := range duties {
		g := d.gauges[0]
		d.learned = &Learned{Findings: len(observed[i][0]), Observed: overWorlds(observed[i])}
		surprises(g, observed[i], d.learned.Observed)
		var k knowledge
		if g.kind == care.Counted {
			groups := allAlike(r.house.Draws.Worlds)
			if gathered[i] != nil {
				groups = groupByUse(gathered[i], len(observed[i]))
			}
			present := presentPart{part: d.parts()}
			if d.unknown() {
				present.met = d.endings()
			}
			limits := learnLimit(g, g.Unknown(), observed[i], groups, present)
			d.learned.Own = limits.own
			k, d.learned.Before, d.learned.After = limits, limits.prior, figure.OverInPlace(limits.draw(r.house.Draws, d.block(), "limit/"+g.bound.Name))
		} else {
			p := newPosterior(g.Unknown())
			d.learned.Before = p.points()
			p.learn(g, observed[i])
			k, d.learned.After = p, p.points()
		}
		r.after.learned[keys[i]] = lesson{knowledge: k, learned: d.learned}
		if err := d.build(r.house.Draws, k); err != nil {
			return err
		}
	}
	return nil
}

// untaught leaves those duties that the last forecast did not learn the same of; the
// others are built by what it learned. It returns their keys as well.
func (r *run) untaught(duties []*dutyRun) (left []*dutyRun, keys []string, err error) {
	if r.house.Memory == nil || len(duties) == 0 {
		return duties, make([]string, len(duties)), nil
	}
	world := r.worldKey()
	for _, d := range duties {
		key := r.dutyKey(d, world)
		if l, ok := r.before.learned[key]; ok {
			d.learned, r.after.learned[key] = l.learned, l
			if err := d.build(r.house.Draws, l.knowledge); err != nil {
				return nil, nil, err
			}
			continue
		}
		left, keys = append(left, d), append(keys, key)
	}
	return left, keys, nil
}

// gathered gives, in every world, how much had gathered at what was found of each of some
// duties, as a mean logarithm: of those whose limit is learnt for the use of each world.
// That takes no water.
func (r *run) gathered(duties []*dutyRun) ([][]float64, error) {
	gathered := make([][]float64, len(duties))
	some := false
	for i, d := range duties {
		if d.gauges[0].kind == care.Counted && d.past == nil && d.line == nil && d.vessel == nil {
			gathered[i], some = make([]float64, r.house.Draws.Worlds), true
		}
	}
	if !some {
		return gathered, nil
	}
	past := r.past(duties)
	past.depth = useOnly
	return gathered, past.worlds(r.house.Draws.Worlds, func(w *worldState, world int) {
		for i, d := range duties {
			if gathered[i] != nil {
				gathered[i][world] = meanLog(past.observe(w, d, world))
			}
		}
	})
}

// past is the run up to today, which is all that was found depends on, where nothing that
// some duties found lies later, and the pasts of all are known: how old a part was that
// somebody met depends on how long it would last.
func (r *run) past(duties []*dutyRun) *run {
	past := *r
	past.scaled = nil // every service is asked about
	for _, d := range duties {
		if d.unknown() || d.past != nil || d.Fitted > r.span.today ||
			slices.ContainsFunc(d.services, func(s record.Dated[record.Service]) bool { return s.On > r.span.today }) {
			return &past
		}
	}
	past.grid = r.grid.upTo(r.grid.today)
	return &past
}

// meanLog is the mean logarithm of what had gathered at some findings.
func meanLog(observed []observation) float64 {
	sum := 0.0
	for _, o := range observed {
		sum += math.Log(max(o.state.Amount, leastForLogged))
	}
	return sum / float64(max(1, len(observed)))
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
		state = g.after(state, total, knot, to)
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
