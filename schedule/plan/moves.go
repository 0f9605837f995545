package plan

import (
	"math"
	"slices"
)

// tryPush gives a task the way it would take if there were always room, pushes
// out whom it must for that, the longest first, and refits them.
func (d *draft) tryPush(t int, all []int, within float64) float64 {
	m := d.m
	d.tolls(t)
	alone := [1]int{t}
	for s := range d.toll {
		if !m.holds(alone[:], s) && !m.isFixed(t, s) {
			d.toll[s] = noStep
		}
	}
	d.walk(t, noStep)
	d.change(t, d.way, true)
	var pushed []int
	for _, s := range d.ways[t] {
		for !m.holds(d.sets[s], s) {
			longest := -1
			for _, o := range d.sets[s] {
				if o != t && !m.isFixed(o, s) && (longest < 0 || m.whole[o] > m.whole[longest]) {
					longest = o
				}
			}
			if longest < 0 {
				return noStep // only what the owner has fixed is left
			}
			d.set(longest, slices.DeleteFunc(slices.Clone(d.ways[longest]), func(x int) bool { return x == s }))
			pushed = append(pushed, longest)
		}
	}
	if len(pushed) == 0 {
		return noStep
	}
	for _, o := range pushed {
		d.refit(o)
	}
	return d.finish(all, within)
}

// tryInstead closes some sittings and has all tasks find their ways as if other slots were
// open already, as far as they are not: what none of them would pay for alone some may pay
// for together.
func (d *draft) tryInstead(closed, open []int, all []int, within float64) float64 {
	var touched []int
	for _, s := range closed {
		d.ban[s] = true
		for _, t := range d.sets[s] {
			d.stale[t] = true
			touched = append(touched, t)
		}
	}
	d.open = append(d.open[:0], open...)
	for range 2 {
		for _, t := range all {
			if d.stale[t] || d.gains(t) {
				d.refit(t)
			}
		}
	}
	d.open = d.open[:0]
	for _, s := range open {
		for _, t := range d.sets[s] {
			d.stale[t] = true
		}
	}
	for _, s := range closed {
		d.ban[s] = false
	}
	for _, t := range touched {
		d.stale[t] = true
	}
	return d.finish(all, within)
}

// tryState has the tasks that share a state in one slot do without it there, and find their
// ways as if it were brought about in another, where there is a sitting already; for none
// that is -1. They move together: for one alone it would cost too much.
func (d *draft) tryState(k, s, to int, all []int, within float64) float64 {
	var touched []int
	for _, t := range d.sets[s] {
		if d.m.needs(t, k) {
			touched = append(touched, t)
		}
	}
	d.only, d.shut = k, s
	if to >= 0 {
		d.open = append(d.open[:0], to)
	}
	for range 2 {
		for _, t := range touched {
			d.refit(t)
		}
	}
	d.only, d.shut, d.open = 0, -1, d.open[:0]
	for _, t := range touched {
		d.stale[t] = true
	}
	return d.finish(all, within)
}

// tryShift moves all sittings from a slot on by some slots, and then refits all tasks:
// where one sitting less, or one more, is better, all that follow stand elsewhere.
func (d *draft) tryShift(s, by int, all []int, within float64) float64 {
	m := d.m
	var moved [][]int
	for t := range m.chains {
		var way []int
		for _, x := range d.ways[t] {
			if x < s || m.isFixed(t, x) {
				way = append(way, x)
			}
		}
		moved = append(moved, way)
	}
	ways := d.copyWays()
	for t, way := range moved {
		d.set(t, way)
	}
	for _, t := range all {
		if m.held[t] {
			d.set(t, ways[t])
			continue
		}
		way := slices.Clone(moved[t])
		for _, x := range ways[t] {
			to := x + by
			if x >= s && !m.isFixed(t, x) && to >= s && to < m.n && !slices.Contains(way, to) && d.fits(t, to) {
				way = append(way, to)
			}
		}
		slices.Sort(way)
		if math.IsInf(m.chains[t].along(way), 1) {
			way = ways[t]
		}
		d.set(t, way)
	}
	return d.finish(all, within+shifted)
}

// shifted is by how much more, in minutes, a draft whose sittings were moved all together
// may be worse for it to be worth settling.
const shifted = 200

// finish settles a draft that is not too far off already.
func (d *draft) finish(all []int, within float64) float64 {
	cost := d.cost()
	if cost > within {
		return cost
	}
	return d.settle(all)
}

// promising is by how much, in minutes, a draft may be worse than the best for
// it to be worth settling. From trials.
const promising = 40

// tryMove moves the sitting of one slot to another, or closes it where both are
// the same, and refits whom that touches.
func (d *draft) tryMove(s, to int, all []int, within float64) float64 {
	var touched []int
	for t, way := range d.ways {
		if slices.Contains(way, s) {
			touched = append(touched, t)
		}
	}
	d.ban[s] = true
	if s != to {
		for _, t := range touched {
			way := slices.DeleteFunc(slices.Clone(d.ways[t]), func(x int) bool { return x == s })
			if !slices.Contains(way, to) && d.fits(t, to) {
				way = append(way, to)
				slices.Sort(way)
			}
			if math.IsInf(d.m.chains[t].along(way), 1) {
				continue
			}
			d.set(t, way)
		}
	}
	for range 2 {
		for _, t := range touched {
			d.refit(t)
		}
	}
	d.ban[s] = false
	for _, t := range touched {
		d.stale[t] = true
	}
	return d.finish(all, within)
}
