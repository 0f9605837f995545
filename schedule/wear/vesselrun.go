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

	firstOfBrew bool // first of its machine's vessels that what is brewed flows through
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
	total, lw := w.exposure[v.slot], v.machine.line.water
	litres, steps := w.drawn[v.machine.index].brewLitres, w.atSteps
	if v.firstOfBrew {
		sure := v.machine.sureSteps(r)
		sumUp(total[care.OfLitres][sure:], litres[sure:])
		for i, l := range litres {
			steps[i] = l * line.hardness[i]
		}
		sumUp(total[care.OfHardness], steps)
	}
	from := r.scaledFrom(v)
	if from >= len(litres) {
		return
	}
	spent, fresh := w.atKnots[0][:len(lw.knots)], w.atKnots[1][:len(lw.knots)]
	for k := lw.steps[from].knot; k < len(line.water); k++ {
		spent[k], fresh[k] = lw.deposit(world, &line.water[k], &v.shape)
	}
	converted := v.converted[world]
	for i := from; i < len(litres); i++ {
		at, l := &lw.steps[i], litres[i]
		behind := at.between(fresh)
		mgPerLitre := converted * max(0, behind+line.leaks[i]*(at.between(spent)-behind))
		steps[i] = atMostLime(l*mgPerLitre/1000, l*line.hardness[i])
	}
	sumUp(total[care.OfScale][from:], steps[from:])
}

// atMostLime keeps grams of scale within the lime that was fed, given as milliequivalents
// of hardness: tables of scale are straight between their points, and where all but
// nothing stays dissolved that can be a few thousandths too much.
func atMostLime(grams, meq float64) float64 { return min(grams, meq*gramsOfLimePerMeq) }

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
