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
	grinding *grinding // of its shots by several grinders; nil where one grinds them all
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
	drawn, sure := &w.drawn[m.index], m.sureSteps(r)
	m.use.draw(drawn, 0, sure, 1, 1, 1, false)
	total := w.exposure[m.slot]
	sumUp(total[care.OfShots], drawn.shots[:sure])
	sumUp(total[care.OfKilograms], drawn.kilograms[:sure])
	if brewed != nil {
		sumUp(brewed[care.OfLitres], drawn.brewLitres[:sure])
	}
	for _, v := range m.vessels {
		if v.boiler != nil {
			v.beginBoiler(w, r)
		}
	}
}

// sureSteps is how many steps, from the first, are the same in every world.
func (m *machineRun) sureSteps(r *run) int { return min(m.use.sure, r.grid.steps()) }

// play draws what was drunk in a world.
func (m *machineRun) play(w *worldState, r *run, world int) {
	total, drawn, sure := w.exposure[m.slot], &w.drawn[m.index], m.sureSteps(r)
	flowsOnly := r.depth == untilLines || r.depth == steamersOnly
	for _, s := range m.use.stretches {
		if from, to := max(s.from, sure), min(s.to, r.grid.steps()); from < to {
			m.use.draw(drawn, from, to, m.use.factor(s, world), m.use.milk[world], m.use.water[world], flowsOnly)
		}
	}
	if flowsOnly {
		return
	}
	sumUp(total[care.OfShots][sure:], drawn.shots[sure:])
	sumUp(total[care.OfKilograms][sure:], drawn.kilograms[sure:])
	m.use.sumHours(total[care.OfHotHours], world)
}

// toolsRun is the tools of a place in a forecast under way.
type toolsRun struct {
	record.Equipment
	slot int
}
