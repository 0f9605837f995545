package wear

import (
	"math"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/deposit"
)

// vesselRun is a vessel of a machine in a forecast under way.
type vesselRun struct {
	record.Vessel
	machine   *machineRun
	index     int // among all vessels
	slot      int // of its exposure in a world's state
	shape     vesselShape
	converted []float64   // by world: share of its potential that water lays down
	boiler    *steamWater // of a steam boiler
}

// name is the vessel's own among all of a place, by which its draws are keyed.
func (v *vesselRun) name() string { return v.machine.ID + "/" + v.ID }

// play sums what flows through a vessel and what it could lay down there, behind
// cartridges as fresh or as spent as they are at the time.
func (v *vesselRun) play(w *worldState, r *run, world int) {
	if v.boiler != nil {
		v.playBoiler(w, r, world)
		return
	}
	line := &w.lines[v.machine.line.index]
	total, drawn, lw, converted := w.exposure[v.slot], w.drawn[v.machine.index], v.machine.line.water, v.converted[world]
	spent, fresh := w.knotted(len(lw.knots))
	for k, s := range line.water {
		spent[k], fresh[k] = lw.deposit(world, s, v.shape)
	}
	for i := range r.grid.steps() {
		at := lw.steps[i]
		behind := at.between(fresh)
		mgPerLitre := converted * max(0, behind+line.leaks[i]*(at.between(spent)-behind))
		litres := drawn[i].BrewLitres
		total.add(i, care.Exposure{Days: r.grid.days(i), Litres: litres, HardnessMeq: litres * at.between(line.hardness), ScaleGrams: litres * mgPerLitre / 1000})
	}
}

// playBoiler follows a steam boiler: what is fed concentrates as steam leaves,
// and lays down the more of itself; a refreshment thins it again and, since it
// feeds, lays down a little too. Its litres count as its grams do.
func (v *vesselRun) playBoiler(w *worldState, r *run, world int) {
	b, line := v.boiler, &w.lines[v.machine.line.index]
	total, drawn, lw := w.exposure[v.slot], w.drawn[v.machine.index], b.line
	today := r.grid.at(r.span.today)
	drifted, _ := w.knotted(len(lw.knots))
	for k, s := range line.water {
		drifted[k] = s.drifted
	}
	n := b.start[world]
	for i := range r.grid.steps() {
		state := lw.atStep[i]
		state.drifted = lw.steps[i].between(drifted)
		steam, hot := drawn[i].SteamLitres, drawn[i].HotWaterLitres
		was := n
		n = b.concentrate(world, n, steam, hot)
		day := care.Exposure{Days: r.grid.days(i), Litres: steam + hot, DrawnLitres: hot}
		if day.Litres > 0 {
			day.ScaleGrams = day.Litres * b.scale(world, state, (was+n)/2, line.leaks[i]) / 1000
		}
		if refilled := b.refilled(world, i+1); refilled > 0 {
			day.Litres += refilled
			day.DrawnLitres += refilled
			day.ScaleGrams += refilled * b.scale(world, state, 1, line.leaks[i]) / 1000
			n = 1 + b.left[i+1]*(n-1)
		}
		day.HardnessMeq = day.Litres * lw.steps[i].between(line.hardness)
		total.add(i, day)
		if i+1 == today {
			w.concentration[v.index] = n
		}
	}
}

// convertedShares draws the share of its potential that water lays down in a
// vessel: all of it where it stands, less where it only passes.
func (v *vesselRun) convertedShares(d Draws) []float64 {
	block := "part/" + v.name()
	uniforms := d.Uniforms(block, "precipitation time")
	seconds, passing := v.shape.residenceSeconds()
	volume := guesses(d, block, "volume", v.shape.guessedSize)
	for w, u := range uniforms {
		uniforms[w] = 1
		if passing {
			tau := precipitationSecondsLow * math.Pow(precipitationSecondsHigh/precipitationSecondsLow, u)
			uniforms[w] = deposit.Conversion(seconds*volume[w], tau)
		}
	}
	return uniforms
}
