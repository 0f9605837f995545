package wear

import (
	"limekeep/schedule/care"
	"limekeep/schedule/use"
)

// worldState is one world's days, part by part, as running totals over the grid.
// A worker has one and plays world after world in it.
type worldState struct {
	exposure      []cumulative // by slot of a part
	drawn         [][]use.Day  // by machine, step by step
	lines         []lineState
	lived         []care.Exposure // by duty whose past is unknown: since its last service, on the day its records begin
	concentration []float64       // how concentrated a steam boiler is today, by vessel
	today         []State         // of the gauges of the duty that is looked at, today
	buffer        []float64
}

func (r *run) newWorldState() *worldState {
	w := &worldState{
		exposure: make([]cumulative, r.slots), drawn: make([][]use.Day, len(r.machines)),
		lines: make([]lineState, len(r.lines)), concentration: make([]float64, r.vessels), lived: make([]care.Exposure, len(r.duties)),
	}
	for slot := range w.exposure {
		w.exposure[slot] = make(cumulative, len(r.grid.knots))
	}
	for i := range w.drawn {
		w.drawn[i] = make([]use.Day, r.grid.steps())
	}
	for i := range w.lines {
		w.lines[i].leaks = make([]float64, r.grid.steps())
	}
	for _, t := range r.tools { // tools age, and nothing flows through them
		for i := range r.grid.steps() {
			w.exposure[t.slot].add(i, care.Exposure{Days: r.grid.days(i)})
		}
	}
	return w
}

// play fills the state with one world, in the order of the day: use, treatment,
// water, vessels. Parts read what stands there.
func (r *run) play(w *worldState, world int) {
	for _, m := range r.machines {
		m.play(w, r, world)
	}
	if r.flowsOnly {
		r.playFlows(w)
		return
	}
	for _, g := range r.grinders {
		g.play(w, r)
	}
	for _, l := range r.lines {
		l.play(w, r, world)
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
		drawn := w.drawn[m.index]
		for _, v := range m.vessels {
			if v.boiler == nil {
				continue
			}
			total := w.exposure[v.slot]
			for i := range r.grid.steps() {
				total.add(i, care.Exposure{Days: r.grid.days(i), Litres: drawn[i].SteamLitres + drawn[i].HotWaterLitres, DrawnLitres: drawn[i].HotWaterLitres})
			}
		}
	}
}

// knotted gives two buffers for values at the knots of a line's water.
func (w *worldState) knotted(n int) (first, second []float64) {
	if len(w.buffer) < 2*n {
		w.buffer = make([]float64, 2*n)
	}
	return w.buffer[:n], w.buffer[n : 2*n]
}
