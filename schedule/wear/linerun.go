package wear

import (
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/treatment"
)

// lineRun is a water line in a forecast under way.
type lineRun struct {
	record.Equipment
	index      int // among the lines
	slot       int // of its exposure in a world's state
	water      *LineWater
	machines   []*machineRun // that it feeds
	exchangers []*exchanger
}

// lineState is a line in one world.
type lineState struct {
	water    []waterState // at the knots of the line's water
	hardness []float64    // of the raw water, meq/L, step by step
	litres   []float64    // that the line delivers, step by step
	leaks    []float64    // share of the raw water's hardness that passes, step by step; all of it where no cartridge stands in the way
}

// begin makes room for a line.
func (l *lineRun) begin(w *worldState, r *run) {
	w.exposure[l.slot] = r.newCumulative(care.OfLitres, care.OfHardness, care.OfCarbon)
	steps, sure := r.grid.steps(), l.sureSteps(r)
	w.lines[l.index] = lineState{
		water: make([]waterState, len(l.water.knots)), hardness: make([]float64, steps),
		litres: make([]float64, steps), leaks: slices.Repeat([]float64{1}, steps),
	}
	for i := range w.atKnots {
		w.atKnots[i] = slices.Grow(w.atKnots[i], len(l.water.knots))[:len(l.water.knots)]
	}
	l.deliver(w, 0, 0, sure)
	sumUp(w.exposure[l.slot][care.OfLitres], w.lines[l.index].litres[:sure])
}

// sureSteps is how many steps, from the first, a line delivers as much in every world.
func (l *lineRun) sureSteps(r *run) int {
	sure := r.grid.steps()
	for _, m := range l.machines {
		sure = min(sure, m.sureSteps(r))
		for _, v := range m.vessels {
			if v.boiler != nil && !v.boiler.alike {
				return 0
			}
		}
	}
	return sure
}

// play adds up what a line delivers and what its water asks of a cartridge, and
// works out what the cartridges let through.
func (l *lineRun) play(w *worldState, r *run, world int) {
	total, state, lw := w.exposure[l.slot], &w.lines[l.index], l.water
	hardness, carbon := w.atKnots[0][:len(lw.knots)], w.atKnots[1][:len(lw.knots)]
	lw.atKnots(world, state.water)
	for k := range state.water {
		hard, alkali := lw.load(world, &state.water[k])
		hardness[k], carbon[k] = hard, min(hard, alkali)
	}
	betweenAt(state.hardness, lw.steps, hardness)
	sure := l.sureSteps(r)
	l.deliver(w, world, sure, len(state.litres))
	sumUp(total[care.OfLitres][sure:], state.litres[sure:])
	if len(l.exchangers) == 0 {
		return // nothing there takes hardness
	}
	atSteps := w.atSteps
	for i, litres := range state.litres {
		atSteps[i] = litres * state.hardness[i]
	}
	sumUp(total[care.OfHardness], atSteps)
	betweenAt(atSteps, lw.steps, carbon)
	for i, litres := range state.litres {
		atSteps[i] *= litres
	}
	sumUp(total[care.OfCarbon], atSteps)
	if r.depth == untilLines {
		return // what cartridges let through matters to vessels alone
	}
	for i := range state.leaks {
		state.leaks[i] = 1
	}
	for _, x := range l.exchangers {
		x.play(state.leaks, total, lw, r.grid, world, l.leaksFrom(r))
	}
}

// leaksFrom is the step from which on it is asked what a line's cartridges let through: the
// first in which it is asked what a vessel behind them lays down.
func (l *lineRun) leaksFrom(r *run) int {
	from := r.grid.steps()
	for _, m := range l.machines {
		for _, v := range m.vessels {
			from = min(from, r.scaledFrom(v))
		}
	}
	return from
}

// deliver adds up what a line's machines draw on some steps, and what refreshing their
// steam boilers takes.
func (l *lineRun) deliver(w *worldState, world, from, end int) {
	litres := w.lines[l.index].litres[:end]
	clear(litres[from:])
	for _, m := range l.machines {
		drawn := &w.drawn[m.index]
		brew, steam, hot := drawn.brewLitres[:end], drawn.steamLitres[:end], drawn.hotWaterLitres[:end]
		for i := from; i < end; i++ {
			litres[i] += brew[i] + steam[i] + hot[i]
		}
		for _, v := range m.vessels {
			if v.boiler == nil {
				continue
			}
			for _, knot := range v.boiler.refreshed {
				if from < knot && knot <= end {
					litres[knot-1] += v.boiler.refilled(world, knot)
				}
			}
		}
	}
}

// exchanger is a cartridge that uses up, of one arrangement of a line.
type exchanger struct {
	arrangement int
	stage       record.Treatment
	count       func(care.Exposure) float64 // share of its capacity, by hardness and carbon alone
	duty        *dutyRun                    // of the present arrangement; nil for one of the past
	changes     []record.Date               // of one of the past
	fitted      record.Date                 // first cartridge of the present arrangement that is written down; zero where it is as old as the line
	before      []float64                   // one a world: share of the hardness that came through until then
}

// play lets a cartridge use up and be changed, and multiplies what it lets
// through into the line's leaks. A change that falls inside a step counts from
// the step's end. What it let through is not asked before a step: it is followed from the
// last change before that.
func (x *exchanger) play(leaks []float64, total *cumulative, lw *LineWater, g grid, world, asked int) {
	used := 0.0
	hardness, carbon := total[care.OfHardness], total[care.OfCarbon]
	changes := x.changes
	begins := x.fitted
	if x.duty != nil {
		changes = x.duty.changes
		if x.duty.unknown() { // it is as spent as such cartridges are met
			used, begins = x.duty.past.ages.at(x.duty.past.shares[world]), x.duty.past.until
		}
	}
	first := 0
	all := changes
	for k, on := range all {
		if knot := g.at(on); 0 < knot && knot <= asked && lw.atStep[knot-1].arrangement == x.arrangement && g.knots[knot] > begins {
			first, used, changes = knot, 0, all[k+1:]
		}
	}
	for i := first; i < len(leaks); i++ {
		if lw.atStep[i].arrangement != x.arrangement {
			continue
		}
		if g.knots[i+1] <= begins {
			if x.before != nil {
				leaks[i] *= x.before[world]
			} else {
				leaks[i] *= treatment.BreakthroughNear(used)
			}
			continue
		}
		share := x.count(care.Exposure{HardnessMeq: hardness[i+1] - hardness[i], CarbonMeq: carbon[i+1] - carbon[i]})
		leaks[i] *= treatment.BreakthroughNear(used + share/2)
		used += share
		for len(changes) > 0 && changes[0] <= g.knots[i+1] {
			used, changes = 0, changes[1:]
		}
	}
}

// listExchangers lists the cartridges that a line has had.
func (l *lineRun) listExchangers(house *Household, duties []*dutyRun) {
	arrangements := l.water.arrangements
	for i, a := range arrangements {
		for _, stage := range a.feeder.stages {
			if !stage.Kind.Exchanges() {
				continue
			}
			x := &exchanger{arrangement: i, stage: stage, count: care.Exchanged(stage), fitted: stage.Fitted}
			if stage.Fitted > l.Bought && stage.Fitted > a.from {
				x.before = leakBefore(house.Draws, l.ID, stage)
			}
			for _, d := range duties {
				if i == len(arrangements)-1 && d.stage != nil && d.line == l && d.stage.ID == stage.ID {
					x.duty = d
				}
			}
			if x.duty == nil {
				for _, service := range house.Services[l.ID+"/cartridge/"+stage.ID] {
					x.changes = append(x.changes, service.On)
				}
			}
			l.exchangers = append(l.exchangers, x)
		}
	}
}

// leakBefore draws what came through in the place of a cartridge before the first that
// is written down, one a world: all of the hardness where there was none, next to
// nothing where there was another of its kind. Where nobody says, it is anything
// between: nothing stood there, or something that was changed in time, or late.
// Assumption.
func leakBefore(d Draws, line string, stage record.Treatment) []float64 {
	leaks := d.Uniforms("water/"+line, "before "+stage.ID)
	for w := range leaks {
		switch stage.Before {
		case record.NoneBefore:
			leaks[w] = 1
		case record.LikeBefore:
			leaks[w] = treatment.Breakthrough(carersAges().at(leaks[w]))
		}
	}
	return leaks
}
