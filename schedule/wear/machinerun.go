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

// play draws what was drunk in a world.
func (m *machineRun) play(w *worldState, r *run, world int) {
	total, drawn := w.exposure[m.slot], w.drawn[m.index]
	for i := range drawn {
		drawn[i] = m.use.step(i, world)
		if r.flowsOnly {
			continue // only what was drawn is asked for
		}
		total.add(i, care.Exposure{Days: r.grid.days(i), Shots: drawn[i].Shots, Kilograms: drawn[i].Kilograms, HotHours: drawn[i].HotHours})
	}
}

// grinderRun is a grinder in a forecast under way.
type grinderRun struct {
	record.Equipment
	slot   int
	serves []*machineRun // those at the place: a machine that left it grinds no more
}

// play adds up what a grinder grinds for its machines.
func (g *grinderRun) play(w *worldState, r *run) {
	total := w.exposure[g.slot]
	for i := range r.grid.steps() {
		day := care.Exposure{Days: r.grid.days(i)}
		for _, m := range g.serves {
			drawn := &w.drawn[m.index][i]
			day.Shots += drawn.Shots
			day.Kilograms += drawn.Kilograms
		}
		total.add(i, day)
	}
}

// toolsRun is the tools of a place in a forecast under way.
type toolsRun struct {
	record.Equipment
	slot int
}
