package wear

import "limekeep/schedule/care"

// boilerState is a steam boiler in one world, step by step.
type boilerState struct {
	middle  []float64 // how concentrated its water is while it is fed, in multiples of the feed
	settled float64   // how concentrated it is after the steps that are the same in every world
}

// beginBoiler makes room for a steam boiler, and follows it for as long as it is the same
// in every world.
func (v *vesselRun) beginBoiler(w *worldState, r *run) {
	sure := v.machine.sureSteps(r)
	switch {
	case r.depth == steamersOnly:
		v.flow(w, 0, sure)
	case r.depth == wholeWorld:
		w.boilers[v.index].middle = make([]float64, r.grid.steps())
		if v.boiler.alike {
			v.concentrate(w, r, 0, 0, sure)
		}
	}
}

// flow sums what flows through a steam boiler on some steps.
func (v *vesselRun) flow(w *worldState, from, end int) {
	drawn, total := &w.drawn[v.machine.index], w.exposure[v.slot]
	litres, left := total[care.OfLitres], total[care.OfDrawnLitres]
	for i := from; i < end; i++ {
		steam, hot := drawn.steamLitres[i], drawn.hotWaterLitres[i]
		litres[i+1], left[i+1] = litres[i]+(steam+hot), left[i]+hot
	}
}

// concentrate follows a steam boiler through some steps of a world: what is fed
// concentrates as steam leaves; a refreshment thins it again, and feeds. How concentrated
// it was before it was last made new all through, as long as nobody asks what was laid
// down until then, changes nothing.
func (v *vesselRun) concentrate(w *worldState, r *run, world, from, end int) {
	b, state, drawn, total := v.boiler, &w.boilers[v.index], &w.drawn[v.machine.index], w.exposure[v.slot]
	litres, left := total[care.OfLitres], total[care.OfDrawnLitres]
	begins := b.newBefore(min(r.scaledFrom(v), r.grid.today))
	n := state.settled
	if from == 0 {
		n = b.start[world]
	}
	for i := from; i < end; i++ {
		steam, hot, refilled := drawn.steamLitres[i], drawn.hotWaterLitres[i], b.refilled(world, i+1)
		litres[i+1], left[i+1] = litres[i]+(steam+hot+refilled), left[i]+(hot+refilled)
		if i < begins {
			continue
		}
		if i == begins && i > 0 {
			n = 1
		}
		was := n
		n = b.concentrate(world, n, steam, hot)
		state.middle[i] = (was + n) / 2
		if refilled > 0 {
			n = 1 + b.left[i+1]*(n-1)
		}
		if i+1 == r.grid.today {
			w.concentration[v.index] = n
		}
	}
	if from == 0 {
		state.settled = n
	}
}

// playBoiler follows a steam boiler and sums what it lays down, the more the more
// concentrated its water is. Its litres count as its grams do.
func (v *vesselRun) playBoiler(w *worldState, r *run, world int) {
	b, line := v.boiler, &w.lines[v.machine.line.index]
	state, drawn, total, lw := &w.boilers[v.index], &w.drawn[v.machine.index], w.exposure[v.slot], b.line
	steps := len(drawn.steamLitres)
	sure := 0
	if b.alike {
		sure = v.machine.sureSteps(r)
	}
	v.concentrate(w, r, world, sure, steps)
	hardness, scale := total[care.OfHardness], total[care.OfScale]
	fed := func(i int) (litres, refilled float64) {
		litres, refilled = drawn.steamLitres[i]+drawn.hotWaterLitres[i], b.refilled(world, i+1)
		return litres, refilled
	}
	for i := range steps {
		litres, refilled := fed(i)
		hardness[i+1] = hardness[i] + (litres+refilled)*line.hardness[i]
	}
	drifted := w.atKnots[0][:len(lw.knots)]
	for k := range line.water {
		drifted[k] = line.water[k].drifted
	}
	offset := b.offset(world)
	var columns worldColumns
	for i := r.scaledFrom(v); i < steps; i++ {
		litres, refilled := fed(i)
		of, leak := &lw.atStep[i], line.leaks[i]
		if !columns.are(of) {
			columns = b.columnsIn(world, of)
		}
		grams, times := 0.0, lw.steps[i].between(drifted)
		if litres > 0 {
			grams = litres * columns.scale(offset, of.share, times, state.middle[i], leak) / 1000
		}
		if refilled > 0 {
			grams += refilled * columns.scale(offset, of.share, times, 1, leak) / 1000
		}
		scale[i+1] = scale[i] + atMostLime(grams, (litres+refilled)*line.hardness[i])
	}
}
