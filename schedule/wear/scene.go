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
	leaks    map[string][]float64 // share of the raw water's hardness that passes, by line and step
	buffer   []float64
}

func newScene(equipment []record.Equipment, g grid) *scene {
	sc := &scene{
		machines: map[string]sums{}, drawn: map[string][]use.Day{}, vessels: map[string]sums{},
		grinders: map[string]sums{}, lines: map[string]sums{}, leaks: map[string][]float64{},
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

func (r *run) playMachine(sc *scene, e record.Equipment, world int) {
	total, drawn, worlds := sc.machines[e.ID], sc.drawn[e.ID], r.uses[e.ID]
	for i := range drawn {
		drawn[i] = worlds.step(i, world, r.grid, r.span.today)
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
	for i := range r.grid.steps() {
		day := Day{Days: r.days(i)}
		for _, machine := range e.Grinder.Serves {
			day.Shots += sc.drawn[machine][i].Shots
			day.Kilograms += sc.drawn[machine][i].Kilograms
		}
		total.add(i, day)
	}
}

// playLine adds up what a line delivers and what its water asks of a cartridge,
// and works out what the cartridges let through.
func (r *run) playLine(sc *scene, e record.Equipment, world int) {
	total, leaks, lw := sc.lines[e.ID], sc.leaks[e.ID], r.waters[e.ID]
	hardness, carbon := sc.knotted(len(lw.knots))
	for k, m := range lw.moments(world) {
		hard, alkali := lw.load(world, m)
		hardness[k], carbon[k] = hard, min(hard, alkali)
	}
	for i := range r.grid.steps() {
		litres := 0.0
		for _, m := range r.house.Equipment {
			if m.Machine != nil && m.Machine.Line == e.ID {
				litres += sc.drawn[m.ID][i].Litres()
			}
		}
		at := lw.steps[i]
		total.add(i, Day{
			Days: r.days(i), Litres: litres,
			HardnessMeq: litres * at.between(hardness), CarbonMeq: litres * at.between(carbon),
		})
		leaks[i] = 1
	}
	for _, s := range r.subjects {
		if s.stage != nil && s.duty.Equipment.ID == e.ID && s.stage.Kind.Exchanges() {
			r.playExchanger(leaks, total, s)
		}
	}
}

// playExchanger lets a cartridge use up and be changed, and multiplies what it
// lets through into the line's leaks. A change that falls inside a step counts
// from the step's end.
func (r *run) playExchanger(leaks []float64, total sums, s *subject) {
	used := 0.0
	step := exchangeStep(s.stage)
	changes := s.changes
	for i := range leaks {
		share := step(total.step(i))
		leaks[i] *= water.Breakthrough(used + share/2)
		used += share
		for len(changes) > 0 && changes[0] <= r.grid.knots[i+1] {
			used, changes = 0, changes[1:]
		}
	}
}

// playVessel sums what flows through a vessel and what it could lay down there,
// behind cartridges as fresh or as spent as they are at the time.
func (r *run) playVessel(sc *scene, e record.Equipment, v record.Vessel, world int) {
	key := e.ID + "/" + v.ID
	total, drawn, leaks := sc.vessels[key], sc.drawn[e.ID], sc.leaks[e.Machine.Line]
	shape, conversion, lw := r.shapes[key], r.conversions[key][world], r.waters[e.Machine.Line]
	raw, treated := sc.knotted(len(lw.knots))
	for k, m := range lw.moments(world) {
		raw[k], treated[k] = lw.deposit(world, m, shape)
	}
	for i := range r.grid.steps() {
		litres := drawn[i].BrewLitres
		if !shape.brews() {
			litres = drawn[i].SteamLitres + drawn[i].HotWaterLitres
		}
		at := lw.steps[i]
		fresh := at.between(treated)
		mgPerLitre := conversion * (fresh + leaks[i]*(at.between(raw)-fresh))
		total.add(i, Day{Days: r.days(i), Litres: litres, ScaleGrams: litres * mgPerLitre / 1000})
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

// waterKnots gives the days at which a line's water is worked out: each quarter
// and each day of a test. Between two of them it runs straight.
func waterKnots(tests []TestedWater, s span) []record.Date {
	var knots []record.Date
	for q := int(s.first) / driftDays; ; q++ {
		knots = append(knots, record.Date(q*driftDays))
		if record.Date(q*driftDays) > s.last {
			break
		}
	}
	for _, t := range tests {
		if t.On > knots[0] && t.On < knots[len(knots)-1] {
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
