package wear

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
)

// machineRun is a machine in a forecast under way.
type machineRun struct {
	record.Equipment
	index    int // among the machines
	slot     int // of its exposure in a world's state
	timeline *use.Timeline
	use      *useWorlds
	line     *lineRun
	vessels  []*vesselRun
}

// begin makes room for a machine and its vessels, and notes what is the same in every
// world.
func (m *machineRun) begin(w *worldState, r *run) {
	w.exposure[m.slot] = r.newCumulative(care.OfShots, care.OfKilograms, care.OfHotHours)
	var brewed *cumulative // through all vessels but steam boilers flows the same
	for _, v := range m.vessels {
		switch {
		case v.boiler != nil:
			w.exposure[v.slot] = r.newCumulative(care.OfLitres, care.OfDrawnLitres, care.OfHardness, care.OfScale)
		case v.firstOfBrew:
			brewed = r.newCumulative(care.OfLitres, care.OfHardness, care.OfScale)
			w.exposure[v.slot] = brewed
		default:
			total := r.newCumulative(care.OfScale)
			total[care.OfLitres], total[care.OfHardness] = brewed[care.OfLitres], brewed[care.OfHardness]
			w.exposure[v.slot] = total
		}
	}
	w.drawn[m.index] = newDrunk(r.grid.steps())
	m.use.draw(&w.drawn[m.index], 0, min(m.use.sure, r.grid.steps()), 1, 1, 1, false)
}

// play draws what was drunk in a world.
func (m *machineRun) play(w *worldState, r *run, world int) {
	total, drawn := w.exposure[m.slot], &w.drawn[m.index]
	flowsOnly := r.depth == untilLines || r.depth == steamersOnly
	for _, s := range m.use.stretches {
		if from, to := max(s.from, m.use.sure), min(s.to, r.grid.steps()); from < to {
			m.use.draw(drawn, from, to, m.use.factor(s, world), m.use.milk[world], m.use.water[world], flowsOnly)
		}
	}
	if flowsOnly {
		return
	}
	sumUp(total[care.OfShots], drawn.shots)
	sumUp(total[care.OfKilograms], drawn.kilograms)
	m.use.sumHours(total[care.OfHotHours], world)
}

// grinderRun is a grinder in a forecast under way.
type grinderRun struct {
	record.Equipment
	slot   int
	serves []*machineRun // those at the place: a machine that left it grinds no more
}

// begin sets a grinder up: it grinds what its only machine brews, if it has one.
func (g *grinderRun) begin(w *worldState, r *run) {
	w.exposure[g.slot] = r.newCumulative()
	switch len(g.serves) {
	case 0:
	case 1:
		of := w.exposure[g.serves[0].slot]
		w.exposure[g.slot][care.OfShots], w.exposure[g.slot][care.OfKilograms] = of[care.OfShots], of[care.OfKilograms]
	default:
		w.exposure[g.slot] = r.newCumulative(care.OfShots, care.OfKilograms)
	}
}

// play adds up what a grinder grinds for several machines.
func (g *grinderRun) play(w *worldState, r *run) {
	if len(g.serves) < 2 {
		return
	}
	shots, kilograms := w.exposure[g.slot][care.OfShots], w.exposure[g.slot][care.OfKilograms]
	for i := range r.grid.steps() {
		var shot, ground float64
		for _, m := range g.serves {
			drawn := &w.drawn[m.index]
			shot += drawn.shots[i]
			ground += drawn.kilograms[i]
		}
		shots[i+1], kilograms[i+1] = shots[i]+shot, kilograms[i]+ground
	}
}

// toolsRun is the tools of a place in a forecast under way.
type toolsRun struct {
	record.Equipment
	slot int
}
