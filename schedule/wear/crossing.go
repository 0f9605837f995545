package wear

import (
	"math"
	"sort"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// crossing is what one world says of one duty.
type crossing struct {
	due     record.Date   // first gauge to cross; never beyond the horizon
	again   []record.Date // the same of a part made fresh on each day of Household.Again
	gauges  []record.Date // each gauge by itself
	reading []float64     // of each gauge, today
	amount  []float64     // of each gauge, today, in the unit of its limit
	perWeek []float64     // of each gauge, over the four weeks to come
	fresh   []float64     // of each gauge, right after a service, in the unit of its limit
	grams   float64       // in the vessel today
	mg      float64       // that a litre could lay down, of those to come

	ago  float64 // days from the last service to the first record, where nobody wrote down when it was
	life float64 // days that the part lasts from then on if it is made fresh

	concentration float64 // of a steam boiler's water today, in multiples of its feed

	ahead []float64 // what is to be found on the days asked about, for each thing that is expected
}

// weeksAhead is how far ahead the pace of a gauge is taken, in weeks.
const weeksAhead = 4

// newCrossings gives room for what so many worlds say of so many gauges, and of so
// many amounts that are to be found, all in one piece.
func newCrossings(worlds, gauges, found int) []crossing {
	all := make([]crossing, worlds)
	dates, values, ahead := make([]record.Date, worlds*gauges), make([]float64, 4*worlds*gauges), make([]float64, worlds*found)
	for w := range all {
		d, v := dates[w*gauges:(w+1)*gauges], values[4*w*gauges:4*(w+1)*gauges]
		all[w] = crossing{due: never, gauges: d, reading: v[:gauges], amount: v[gauges : 2*gauges], perWeek: v[2*gauges : 3*gauges], fresh: v[3*gauges:], ahead: ahead[w*found : (w+1)*found]}
	}
	return all
}

// crossOne runs a duty's gauges through the days of one world.
func (r *run) crossOne(c *crossing, w *worldState, d *dutyRun, world int) {
	total := w.exposure[d.slot]
	today, ahead := r.grid.at(r.span.today), r.grid.at(r.span.today+7*weeksAhead)
	again := r.house.Again
	if world%r.againEvery() != 0 {
		again = nil
	}
	for range again {
		c.again = append(c.again, never)
	}
	w.today = w.today[:0]
	var lived care.Exposure
	if d.unknown() {
		c.ago, lived = r.remember(d, total, world)
		c.life = r.life(d, total, world)
		w.lived[d.index] = lived
	}
	for k, g := range d.gauges {
		for i, fresh := range again {
			c.again[i] = min(c.again[i], g.notBefore(r.crosses(g, g.Start(world, Service{}), total, r.grid.at(fresh)), world, fresh))
		}
		state := d.startOf(g, w, world)
		knot := r.grid.at(d.since())
		for _, service := range d.partly() {
			to := r.grid.at(service.On)
			state = g.Start(world, Service{Left: service.Body.Left, Before: g.Advance(state, total.from(knot, to))})
			knot = to
		}
		atToday := g.Advance(state, total.from(knot, today))
		w.today = append(w.today, atToday)
		c.gauges[k] = g.notBefore(r.crosses(g, state, total, knot), world, r.grid.knots[knot])
		if d.unknown() && len(d.services) == 0 {
			if reading := g.Reading(state); reading > 1 { // it crossed before its records begin
				c.gauges[k] -= record.Date(c.ago * (1 - 1/reading))
			}
		}
		c.due = min(c.due, c.gauges[k])
		c.reading[k] = g.Reading(atToday)
		c.amount[k] = g.Amount(atToday)
		c.fresh[k] = g.Amount(g.Start(world, Service{}))
		c.perWeek[k] = (g.Amount(g.Advance(atToday, total.from(today, ahead))) - c.amount[k]) / weeksAhead
		if g.kind == care.Deposited {
			c.grams = d.gramsHeld(world, atToday.Amount)
			c.concentration = w.concentration[d.vessel.index]
			toCome := total.from(today, ahead)
			if toCome.Litres == 0 { // nobody draws any for weeks
				toCome = total.from(today, len(total)-1)
			}
			if toCome.Litres > 0 {
				c.mg = 1000 * potentialGrams(toCome) / toCome.Litres
			}
		}
	}
	r.ahead(c, w, d, world)
}

// againWorlds is about how many worlds say when a part made fresh later falls
// due: enough for so many quantiles, and a day to come is asked about often.
const againWorlds = 200

// againEvery gives which share of the worlds that is: one in so many.
func (r *run) againEvery() int { return max(1, r.house.Draws.Worlds/againWorlds) }

// crosses gives the day on which a gauge that stands in a state at a knot first
// reads 1: a look-up in the running total, then straight within the step.
func (r *run) crosses(g *dutyGauge, state State, total cumulative, knot int) record.Date {
	if g.byDays {
		days := max(0, math.Ceil(state.Limit/state.Factor-state.Amount))
		if days > float64(r.span.last-r.grid.knots[knot]) {
			return never
		}
		return r.grid.knots[knot] + record.Date(days)
	}
	at := func(to int) float64 { return g.Reading(g.Advance(state, total.from(knot, to))) }
	after := firstCrossed(knot, len(total), at)
	switch {
	case after == len(total):
		return never
	case after == knot:
		return r.grid.knots[knot]
	}
	was, is := at(after-1), at(after)
	from, to := r.grid.knots[after-1], r.grid.knots[after]
	days := math.Ceil((1 - was) / (is - was) * float64(to-from))
	return min(to, from+record.Date(max(1, days)))
}

// firstCrossed finds the first knot, from one on and before an end, at which a
// reading that only rises is 1 or more; the end where there is none. Readings rise
// about evenly, so that it looks first where 1 would be then, and goes on from
// there by steps that double.
func firstCrossed(from, end int, at func(int) float64) int {
	if from >= end {
		return end
	}
	most := at(end - 1)
	if !(most >= 1) {
		return end
	}
	low, high := from, end-1 // the one sought lies in low..high
	guess := from + int(float64(end-1-from)/most)
	if at(guess) >= 1 {
		high = guess
		for step := 1; high-step >= low; step *= 2 {
			if at(high-step) < 1 {
				low = high - step + 1
				break
			}
			high -= step
		}
	} else {
		low = guess + 1
		for step := 1; low+step <= high; step *= 2 {
			if at(low+step) >= 1 {
				high = low + step
				break
			}
			low += step + 1
		}
	}
	return low + sort.Search(high-low, func(i int) bool { return at(low+i) >= 1 })
}
