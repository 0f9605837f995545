package wear

import (
	"slices"

	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/water"
)

// scene is one world's days, part by part, as running totals over the grid. A
// worker has one and plays world after world in it.
type scene struct {
	machines map[string]sums
	drawn    map[string][]use.Day // by machine, step by step
	vessels  map[string]sums      // by machine/vessel
	grinders map[string]sums
	lines    map[string]sums
	folds    map[string]float64   // how concentrated a steam boiler is today, by machine/vessel
	moments  map[string][]moment  // the water at its knots, by line
	leaks    map[string][]float64 // share of the raw water's hardness that passes, by line and step
	buffer   []float64
}

func newScene(equipment []record.Equipment, g grid) *scene {
	sc := &scene{
		machines: map[string]sums{}, drawn: map[string][]use.Day{}, vessels: map[string]sums{},
		grinders: map[string]sums{}, lines: map[string]sums{}, leaks: map[string][]float64{}, moments: map[string][]moment{}, folds: map[string]float64{},
	}
	for _, e := range equipment {
		switch {
		case e.Machine != nil:
			sc.machines[e.ID] = make(sums, len(g.knots))
			sc.drawn[e.ID] = make([]use.Day, g.steps())
			for _, v := range e.Machine.Vessels {
				sc.vessels[e.ID+"/"+v.ID] = make(sums, len(g.knots))
			}
		case e.Grinder != nil:
			sc.grinders[e.ID] = make(sums, len(g.knots))
		case e.Line != nil:
			sc.lines[e.ID] = make(sums, len(g.knots))
			sc.leaks[e.ID] = make([]float64, g.steps())
		case e.Tools != nil:
			sc.machines[e.ID] = plainDays(g)
		}
	}
	return sc
}

// sums gives the days that a subject's gauges live through.
func (sc *scene) sums(s *subject) sums {
	e := s.duty.Equipment
	switch {
	case e.Grinder != nil:
		return sc.grinders[e.ID]
	case e.Line != nil:
		return sc.lines[e.ID]
	case s.vessel != nil:
		return sc.vessels[e.ID+"/"+s.vessel.ID]
	}
	return sc.machines[e.ID]
}

// play fills the scene with one world, in the order of the day: use, treatment,
// water, vessels. Parts read what stands there.
func (r *run) play(sc *scene, world int) {
	for _, e := range r.house.Equipment {
		if e.Machine != nil {
			r.playMachine(sc, e, world)
		}
	}
	if r.gathering {
		r.playFlows(sc)
		return
	}
	for _, e := range r.house.Equipment {
		switch {
		case e.Grinder != nil:
			r.playGrinder(sc, e)
		case e.Line != nil:
			r.playLine(sc, e, world)
		}
	}
	for _, e := range r.house.Equipment {
		if e.Machine != nil {
			for _, v := range e.Machine.Vessels {
				r.playVessel(sc, e, v, world)
			}
		}
	}
}

// playFlows sums what flows through the steam boilers and no more: all that the
// gauges of what gathers there live by.
func (r *run) playFlows(sc *scene) {
	for _, e := range r.house.Equipment {
		if e.Machine == nil {
			continue
		}
		drawn := sc.drawn[e.ID]
		for _, v := range e.Machine.Vessels {
			key := e.ID + "/" + v.ID
			if _, ok := r.boilers[key]; !ok {
				continue
			}
			total := sc.vessels[key]
			for i := range r.grid.steps() {
				total.add(i, Day{Days: r.days(i), Litres: drawn[i].SteamLitres + drawn[i].HotWaterLitres, DrawnLitres: drawn[i].HotWaterLitres})
			}
		}
	}
}

func (r *run) playMachine(sc *scene, e record.Equipment, world int) {
	total, drawn, worlds := sc.machines[e.ID], sc.drawn[e.ID], r.uses[e.ID]
	for i := range drawn {
		drawn[i] = worlds.step(i, world)
		if r.gathering {
			continue // only what was drawn is asked for
		}
		total.add(i, Day{Days: r.days(i), Shots: drawn[i].Shots, Kilograms: drawn[i].Kilograms, HotHours: drawn[i].HotHours})
	}
}

// days is the length of a step.
func (r *run) days(step int) float64 {
	return float64(r.grid.knots[step+1] - r.grid.knots[step])
}

// playGrinder adds up what a grinder grinds for its machines.
func (r *run) playGrinder(sc *scene, e record.Equipment) {
	total := sc.grinders[e.ID]
	var served [][]use.Day
	for _, machine := range e.Grinder.Serves {
		served = append(served, sc.drawn[machine])
	}
	for i := range r.grid.steps() {
		day := Day{Days: r.days(i)}
		for _, drawn := range served {
			if i < len(drawn) { // a machine that left the place grinds no more
				day.Shots += drawn[i].Shots
				day.Kilograms += drawn[i].Kilograms
			}
		}
		total.add(i, day)
	}
}

// playLine adds up what a line delivers and what its water asks of a cartridge,
// and works out what the cartridges let through.
func (r *run) playLine(sc *scene, e record.Equipment, world int) {
	total, leaks, lw := sc.lines[e.ID], sc.leaks[e.ID], r.waters[e.ID]
	hardness, carbon := sc.knotted(len(lw.knots))
	moments := lw.moments(world, sc.moments[e.ID][:0])
	sc.moments[e.ID] = moments
	for k, m := range moments {
		hard, alkali := lw.load(world, m)
		hardness[k], carbon[k] = hard, min(hard, alkali)
	}
	var fed [][]use.Day
	for _, m := range r.house.Equipment {
		if m.Machine != nil && m.Machine.Line == e.ID {
			fed = append(fed, sc.drawn[m.ID])
		}
	}
	for i := range r.grid.steps() {
		litres := 0.0
		for _, drawn := range fed {
			litres += drawn[i].Litres()
		}
		at := lw.steps[i]
		total.add(i, Day{
			Days: r.days(i), Litres: litres,
			HardnessMeq: litres * at.between(hardness), CarbonMeq: litres * at.between(carbon),
		})
		leaks[i] = 1
	}
	for _, x := range r.exchangers[e.ID] {
		x.play(leaks, total, lw, r.grid)
	}
}

// exchanger is a cartridge that uses up, of one arrangement of a line.
type exchanger struct {
	way     int
	stage   record.Treatment
	subject *subject      // of the present arrangement; nil for one of the past
	changes []record.Date // of one of the past
}

// play lets a cartridge use up and be changed, and multiplies what it lets
// through into the line's leaks. A change that falls inside a step counts from
// the step's end.
func (x exchanger) play(leaks []float64, total sums, lw *LineWater, g grid) {
	used := 0.0
	step := exchangeStep(&x.stage)
	changes := x.changes
	if x.subject != nil {
		changes = x.subject.changes
	}
	for i := range leaks {
		if lw.when[i].way != x.way {
			continue
		}
		share := step(total.step(i))
		leaks[i] *= water.Breakthrough(used + share/2)
		used += share
		for len(changes) > 0 && changes[0] <= g.knots[i+1] {
			used, changes = 0, changes[1:]
		}
	}
}

// playVessel sums what flows through a vessel and what it could lay down there,
// behind cartridges as fresh or as spent as they are at the time.
func (r *run) playVessel(sc *scene, e record.Equipment, v record.Vessel, world int) {
	key := e.ID + "/" + v.ID
	total, drawn, leaks := sc.vessels[key], sc.drawn[e.ID], sc.leaks[e.Machine.Line]
	if b, ok := r.boilers[key]; ok {
		r.playBoiler(sc, b, key, leaks, drawn, world)
		return
	}
	shape, conversion, lw := r.shapes[key], r.conversions[key][world], r.waters[e.Machine.Line]
	spent, fresh := sc.knotted(len(lw.knots))
	for k, m := range sc.moments[e.Machine.Line] {
		spent[k], fresh[k] = lw.deposit(world, m, shape)
	}
	for i := range r.grid.steps() {
		at := lw.steps[i]
		behind := at.between(fresh)
		mgPerLitre := conversion * max(0, behind+leaks[i]*(at.between(spent)-behind))
		litres := drawn[i].BrewLitres
		total.add(i, Day{Days: r.days(i), Litres: litres, ScaleGrams: litres * mgPerLitre / 1000})
	}
}

// playBoiler follows a steam boiler: what is fed concentrates as steam leaves,
// and lays down the more of itself; a refreshment thins it again and, since it
// feeds, lays down a little too.
func (r *run) playBoiler(sc *scene, b *steamWater, key string, leaks []float64, drawn []use.Day, world int) {
	lw, total := b.line, sc.vessels[key]
	today := r.grid.at(r.span.today)
	concentration, _ := sc.knotted(len(lw.knots))
	for k, m := range sc.moments[lw.Line] {
		concentration[k] = m.concentration
	}
	n := b.start[world]
	for i := range r.grid.steps() {
		m := lw.when[i]
		m.concentration = lw.steps[i].between(concentration)
		steam, hot := drawn[i].SteamLitres, drawn[i].HotWaterLitres
		was := n
		n = b.concentrate(world, n, steam, hot)
		day := Day{Days: r.days(i), Litres: steam + hot, DrawnLitres: hot}
		if day.Litres > 0 {
			day.ScaleGrams = day.Litres * b.scale(world, m, (was+n)/2, leaks[i]) / 1000
		}
		if left, ok := b.refreshed[i+1]; ok {
			day.ScaleGrams += (1 - left) * b.waterKg[world] * b.scale(world, m, 1, leaks[i]) / 1000
			n = 1 + left*(n-1)
		}
		total.add(i, day)
		if i+1 == today {
			sc.folds[key] = n
		}
	}
}

// knotted gives two buffers for values at the knots of a line's water.
func (sc *scene) knotted(n int) (first, second []float64) {
	if len(sc.buffer) < 2*n {
		sc.buffer = make([]float64, 2*n)
	}
	return sc.buffer[:n], sc.buffer[n : 2*n]
}

// placeAmong is where a day lies among the knots of a line's water: behind which,
// and how far towards the next.
type placeAmong struct {
	knot  int
	share float64
}

// between runs straight from one knot's value to the next.
func (p placeAmong) between(values []float64) float64 {
	return values[p.knot] + p.share*(values[p.knot+1]-values[p.knot])
}

// waterKnots gives the days at which a line's water is worked out: each quarter,
// each day of a test, and around each change of the line. Between two of them it runs straight.
func waterKnots(tests []TestedWater, ways []arrangement, s span) []record.Date {
	var knots []record.Date
	for q := int(s.first) / driftDays; ; q++ {
		knots = append(knots, record.Date(q*driftDays))
		if record.Date(q*driftDays) > s.last {
			break
		}
	}
	last := knots[len(knots)-1]
	for _, w := range ways {
		// The line changes from one day to the next.
		for _, d := range []record.Date{w.from - 1, w.from} {
			if d > knots[0] && d < last {
				knots = append(knots, d)
			}
		}
	}
	for _, t := range tests {
		if t.On > knots[0] && t.On < last {
			knots = append(knots, t.On)
		}
	}
	slices.Sort(knots)
	return slices.Compact(knots)
}

// placeSteps finds the middle of each step of a grid among knots.
func placeSteps(knots []record.Date, g grid) []placeAmong {
	steps := make([]placeAmong, g.steps())
	k := 0
	for i := range steps {
		day := g.middle(i)
		for k+2 < len(knots) && knots[k+1] <= day {
			k++
		}
		steps[i] = placeAmong{knot: k, share: float64(day-knots[k]) / float64(knots[k+1]-knots[k])}
	}
	return steps
}
