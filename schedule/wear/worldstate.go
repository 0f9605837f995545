package wear

import "limekeep/schedule/care"

// worldState is one world's days, part by part, as running totals over the grid.
// A worker has one and plays world after world in it.
type worldState struct {
	exposure      []*cumulative // by slot of a part
	drawn         []drunk       // by machine
	lines         []lineState
	boilers       []boilerState   // by vessel
	lived         []care.Exposure // by duty whose past is unknown: since its last service, on the day its records begin
	concentration []float64       // how concentrated a steam boiler is today, by vessel
	today, fresh  []State         // of the gauges of the duty that is looked at: today, and fresh from a service
	atKnots       [2][]float64    // of a line's water
	atSteps       []float64
}

// depth is how much of a world is played: no more than what is asked of it.
type depth int

const (
	wholeWorld   depth = iota
	untilLines         // use, and the lines with their cartridges
	steamersOnly       // what flows through the steam boilers
	useOnly            // use, and what grinders and tools are exposed to
)

func (r *run) newWorldState() *worldState {
	w := &worldState{
		exposure: make([]*cumulative, r.slots), drawn: make([]drunk, len(r.machines)), lines: make([]lineState, len(r.lines)), boilers: make([]boilerState, r.vessels),
		concentration: make([]float64, r.vessels), lived: make([]care.Exposure, len(r.duties)), atSteps: make([]float64, r.grid.steps()),
	}
	for _, m := range r.machines {
		m.begin(w, r)
	}
	for _, g := range r.grinders {
		g.begin(w, r)
	}
	for _, l := range r.lines {
		l.begin(w, r)
	}
	for _, t := range r.tools { // tools age, and nothing flows through them
		w.exposure[t.slot] = r.newCumulative()
	}
	return w
}

// play fills the state with one world, in the order of the day: use, treatment,
// water, vessels. Parts read what stands there.
func (r *run) play(w *worldState, world int) {
	for _, m := range r.machines {
		m.play(w, r, world)
	}
	if r.depth == steamersOnly {
		r.playFlows(w)
		return
	}
	for _, g := range r.grinders {
		g.play(w, r, world)
	}
	if r.depth == useOnly {
		return
	}
	for _, l := range r.lines {
		l.play(w, r, world)
	}
	if r.depth == untilLines {
		return
	}
	for _, m := range r.machines {
		for _, v := range m.vessels {
			v.play(w, r, world)
		}
	}
}

// playFlows sums what flows through the steam boilers and no more: all that the
// gauges of what gathers there live by.
func (r *run) playFlows(w *worldState) {
	for _, m := range r.machines {
		for _, v := range m.vessels {
			if v.boiler != nil {
				v.flow(w, m.sureSteps(r), r.grid.steps())
			}
		}
	}
}
