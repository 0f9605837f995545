package wear

import (
	"math"
	"sort"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// crossings is what all worlds say of one duty: rows of one value a world.
type crossings struct {
	due    []record.Date   // first gauge to cross; never beyond the horizon
	again  [][]record.Date // the same of a part made fresh on each day of Household.Again, in the worlds that say so
	gauges []gaugeCrossings

	// Of scale in a vessel; nil for others.
	grams         []float64 // today
	mg            []float64 // that a litre could lay down, of those to come
	concentration []float64 // of a steam boiler's water today, in multiples of its feed

	// Of a part whose past nobody wrote down; nil for others.
	ago  []float64 // days from the last service to the first record
	life []float64 // days that the part lasts from then on if it is made fresh

	ahead [][]float64 // what is to be found, for each thing that is expected each day asked about
}

// gaugeCrossings is what all worlds say of one gauge.
type gaugeCrossings struct {
	due     []record.Date // by itself
	reading []float64     // today
	amount  []float64     // today, in the unit of the limit
	perWeek []float64     // over the four weeks to come
	fresh   []float64     // right after a service, in the unit of the limit
}

// weeksAhead is how far ahead the pace of a gauge is taken, in weeks.
const weeksAhead = 4

// newCrossings makes room for what the worlds say of a duty.
func (r *run) newCrossings(d *dutyRun) *crossings {
	n := r.house.Draws.Worlds
	c := &crossings{due: make([]record.Date, n), gauges: make([]gaugeCrossings, len(d.gauges))}
	for range r.house.Again {
		c.again = append(c.again, make([]record.Date, (n+r.againEvery()-1)/r.againEvery()))
	}
	for k, g := range d.gauges {
		c.gauges[k] = gaugeCrossings{
			due: make([]record.Date, n), reading: make([]float64, n), amount: make([]float64, n),
			perWeek: make([]float64, n), fresh: make([]float64, n),
		}
		if g.kind == care.Deposited && c.grams == nil {
			c.grams, c.mg, c.concentration = make([]float64, n), make([]float64, n), make([]float64, n)
		}
	}
	if d.unknown() {
		c.ago, c.life = make([]float64, n), make([]float64, n)
	}
	for range len(d.expectations) * len(expectedDays) {
		c.ahead = append(c.ahead, make([]float64, n))
	}
	return c
}

// crossOne runs a duty's gauges through the days of one world.
func (r *run) crossOne(c *crossings, w *worldState, d *dutyRun, world int) {
	total := w.exposure[d.slot]
	today := r.grid.today
	w.today, w.fresh = w.today[:0], w.fresh[:0]
	if d.unknown() {
		c.ago[world], w.lived[d.index] = r.remember(d, total, world)
		c.life[world] = r.life(d, total, world)
	}
	c.due[world] = never
	since, partly := r.grid.at(d.since()), d.partly()
	for k, g := range d.gauges {
		fresh := g.fresh(world)
		state, knot := d.begun(g, fresh, w), since
		for _, service := range partly {
			to := r.grid.at(service.On)
			state = g.Start(world, Service{Left: service.Body.Left, Before: g.after(state, total, knot, to)})
			knot = to
		}
		atToday := g.after(state, total, knot, today)
		w.today, w.fresh = append(w.today, atToday), append(w.fresh, fresh)
		due := g.notBefore(r.crosses(g, state, total, knot), world, r.grid.knots[knot])
		if d.unknown() && len(d.services) == 0 {
			if reading := g.Reading(state); reading > 1 { // it crossed before its records begin
				due -= record.Date(c.ago[world] * (1 - 1/reading))
			}
		}
		c.due[world] = min(c.due[world], due)
		says := &c.gauges[k]
		says.due[world], says.reading[world], says.amount[world] = due, g.reads(&atToday), g.gathered(&atToday)
		says.fresh[world] = g.gathered(&fresh)
		ahead := g.after(atToday, total, today, r.grid.ahead)
		says.perWeek[world] = (g.gathered(&ahead) - says.amount[world]) / weeksAhead
		if g.kind == care.Deposited {
			c.grams[world] = d.gramsHeld(world, atToday.Amount)
			c.concentration[world] = w.concentration[d.vessel.index]
			fed := total.from(today, r.grid.ahead)
			if fed.Litres == 0 { // nobody draws any for weeks
				fed = total.from(today, total.last())
			}
			if fed.Litres > 0 {
				c.mg[world] = 1000 * potentialGrams(fed) / fed.Litres
			}
		}
	}
	if world%r.againEvery() == 0 {
		r.crossAgain(c, w, d, world)
	}
	r.ahead(c, w, d, world)
}

// crossAgain looks when the duty's part falls due if it is made fresh on days to come.
func (r *run) crossAgain(c *crossings, w *worldState, d *dutyRun, world int) {
	total := w.exposure[d.slot]
	for i, on := range r.house.Again {
		due, knot := never, r.grid.again[i]
		for k, g := range d.gauges {
			due = min(due, g.notBefore(r.crosses(g, w.fresh[k], total, knot), world, on))
		}
		c.again[i][world/r.againEvery()] = due
	}
}

// againWorlds is about how many worlds say when a part made fresh later falls
// due: enough for so many quantiles, and a day to come is asked about often.
const againWorlds = 200

// againEvery gives which share of the worlds that is: one in so many.
func (r *run) againEvery() int { return max(1, r.house.Draws.Worlds/againWorlds) }

// crosses gives the day on which a gauge that stands in a state at a knot first
// reads 1.
func (r *run) crosses(g *dutyGauge, state State, total *cumulative, knot int) record.Date {
	days, ok := r.daysLeft(g, state, total, knot)
	if !ok {
		return never
	}
	return r.grid.knots[knot] + record.Date(math.Ceil(days))
}

// daysLeft gives how many days after a knot a gauge that stands in a state there first
// reads 1, 0 where it does: a look-up in the running total, then straight within the
// step. It reports false where that lies beyond the horizon.
func (r *run) daysLeft(g *dutyGauge, state State, total *cumulative, knot int) (days float64, ok bool) {
	if g.byDays {
		days = max(0, state.Limit/state.Factor-state.Amount)
		return days, math.Ceil(days) <= float64(r.span.last-r.grid.knots[knot])
	}
	end := total.last() + 1
	var at func(to int) float64
	var after int
	switch {
	case g.single:
		row := total[g.only]
		at = func(to int) float64 {
			return (state.Amount + g.perAmount*(row[to]-row[knot])) * state.Factor / state.Limit
		}
		wanted := (state.Limit/state.Factor - state.Amount) / g.perAmount
		after = firstNear(knot, end, knot+firstOf(row[knot:], row[knot]+wanted), at)
	case g.kind == care.Deposited:
		at = func(to int) float64 { return g.Reading(g.after(state, total, knot, to)) }
		// It takes as much scale as that, and as much lime.
		grams, lime := total[care.OfScale], total[care.OfHardness]
		wanted := g.wanted(state)
		about := max(firstOf(grams[knot:], grams[knot]+wanted), firstOf(lime[knot:], lime[knot]+wanted/gramsOfLimePerMeq))
		after = firstNear(knot, end, knot+about, at)
	default:
		at = func(to int) float64 { return g.Reading(g.after(state, total, knot, to)) }
		after = firstCrossed(knot, end, at)
	}
	switch after {
	case end:
		return 0, false
	case knot:
		return 0, true
	}
	was, is := at(after-1), at(after)
	from, to := r.grid.knots[after-1], r.grid.knots[after]
	within := min(1, max(0, (1-was)/(is-was))) * float64(to-from)
	return float64(from-r.grid.knots[knot]) + within, true
}

// firstOf is the place of the first of some rising values that is not less than one;
// their number where there is none.
func firstOf(rising []float64, x float64) int {
	from, end := 0, len(rising)
	for from < end {
		middle := int(uint(from+end) / 2)
		if rising[middle] < x {
			from = middle + 1
		} else {
			end = middle
		}
	}
	return from
}

// firstNear is firstCrossed where it is known to be about there.
func firstNear(from, end, about int, at func(int) float64) int {
	for about > from && at(about-1) >= 1 {
		about--
	}
	for about < end && !(at(about) >= 1) {
		about++
	}
	return about
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
