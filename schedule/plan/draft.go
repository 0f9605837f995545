package plan

import (
	"math"
	"slices"
)

// draft is a whole plan under search: a way through each chain, with what the
// ways share counted.
type draft struct {
	m    *model
	w    *walker
	ways [][]int   // by task: its slots in order
	used [][]int   // by kind and slot: how many tasks use it
	sets [][]int   // by slot: the tasks in it, in order
	load []float64 // by slot: minutes of hands taken
	ban  []bool    // by slot: closed for now
	toll []float64
	set0 []int // for trying

	spans [][]span // by task: the steps that it may take; all where nil
}

func newDraft(m *model) *draft {
	d := &draft{m: m, w: newWalker(m.n), ways: make([][]int, len(m.chains)), sets: make([][]int, m.n), load: make([]float64, m.n), ban: make([]bool, m.n), toll: make([]float64, m.n)}
	for range m.price {
		d.used = append(d.used, make([]int, m.n))
	}
	return d
}

func (d *draft) count(t int, by int) {
	for _, s := range d.ways[t] {
		d.load[s] += float64(by) * d.m.minutes[t]
		d.sets[s] = toggle(d.sets[s], t)
		for _, k := range d.m.kinds[t] {
			d.used[k][s] += by
		}
	}
}

// toggle takes a task out of a set in order, or puts it in where it is not there. Sets
// are small, and this runs more often than anything else.
func toggle(set []int, t int) []int {
	at := 0
	for at < len(set) && set[at] < t {
		at++
	}
	if at < len(set) && set[at] == t {
		copy(set[at:], set[at+1:])
		return set[:len(set)-1]
	}
	set = append(set, t)
	for i := len(set) - 1; i > at; i-- {
		set[i], set[i-1] = set[i-1], set[i]
	}
	return set
}

// set gives a task another way.
func (d *draft) set(t int, way []int) {
	d.count(t, -1)
	d.ways[t] = append(d.ways[t][:0], way...)
	d.count(t, 1)
}

// load's sums may be off by rounding; roomy forgives as much.
const roomy = 1e-6

// refit finds the cheapest way for one task, given all others.
func (d *draft) refit(t int) {
	m := d.m
	d.count(t, -1)
	for s := range d.toll {
		toll := 0.0
		if d.ban[s] || !d.fits(t, s) {
			toll = noStep
		} else {
			for _, k := range m.kinds[t] {
				if d.used[k][s] == 0 {
					toll += m.price[k]
				}
			}
		}
		d.toll[s] = toll
	}
	d.walk(t)
	d.count(t, 1)
}

// walk gives a task the cheapest way at the tolls.
func (d *draft) walk(t int) {
	var spans []span
	if d.spans != nil {
		spans = d.spans[t]
	}
	_, d.ways[t] = d.m.walkWithin(d.w, &d.m.chains[t], spans, d.toll, d.ways[t][:0])
}

// cost gives the price of the draft: the chains and what is opened.
func (d *draft) cost() float64 {
	sum := 0.0
	for t, way := range d.ways {
		sum += d.m.chains[t].along(way)
	}
	for k, used := range d.used {
		for _, n := range used {
			if n > 0 {
				sum += d.m.price[k]
			}
		}
	}
	return sum
}

// strained gives what of the cost is for days past late dates.
func (d *draft) strained() float64 {
	sum := 0.0
	for t, way := range d.ways {
		sum += d.m.chains[t].strained(way)
	}
	return sum
}

func (d *draft) copyWays() [][]int {
	ways := make([][]int, len(d.ways))
	d.copyInto(ways)
	return ways
}

// copyInto copies the ways over others.
func (d *draft) copyInto(ways [][]int) {
	for t, way := range d.ways {
		ways[t] = append(ways[t][:0], way...)
	}
}

func (d *draft) setAll(ways [][]int) {
	for t, way := range ways {
		if !slices.Equal(d.ways[t], way) {
			d.set(t, way)
		}
	}
}

func (d *draft) clear() {
	for t := range d.ways {
		d.set(t, nil)
	}
}

// settle refits one task after another until none gains. Each round is cheaper
// than the one before it, so that it comes to an end; bounded all the same.
func (d *draft) settle(tasks []int) float64 {
	cost := d.cost()
	for range 50 {
		for _, t := range tasks {
			d.refit(t)
		}
		now := d.cost()
		if now > cost-1e-9 {
			return now
		}
		cost = now
	}
	return cost
}

// improve closes sittings, and moves them to slots nearby, as long as that
// gains; it gives up when the effort allowed is used.
func (d *draft) improve(all []int) float64 {
	cost := d.settle(all)
	best := d.copyWays()
	for gained := true; gained; {
		gained = false
		for _, t := range all {
			if d.m.spent() {
				break
			}
			if now := d.tryPush(t, all, cost+promising); now < cost-1e-7 {
				cost, gained = now, true
				d.copyInto(best)
				continue
			}
			d.setAll(best)
		}
		for s := range d.m.n {
			if d.used[0][s] == 0 {
				continue
			}
			for _, by := range []int{0, -1, 1, -2, 2, -3, 3} {
				to := s + by
				if to < 0 || to >= d.m.n || d.m.spent() {
					continue
				}
				if now := d.tryMove(s, to, all, cost+promising); now < cost-1e-7 {
					cost, gained = now, true
					d.copyInto(best)
					break
				}
				d.setAll(best)
			}
		}
		if d.m.spent() {
			break
		}
	}
	d.setAll(best)
	return cost
}

// tryPush gives a task the way it would take if there were always room, pushes
// out whom it must for that, the longest first, and refits them.
func (d *draft) tryPush(t int, all []int, within float64) float64 {
	m := d.m
	d.count(t, -1)
	for s := range d.toll {
		d.toll[s] = 0
		for _, k := range m.kinds[t] {
			if d.used[k][s] == 0 {
				d.toll[s] += m.price[k]
			}
		}
		if !m.holds([]int{t}, s) && !m.isFixed(t, s) {
			d.toll[s] = noStep
		}
	}
	d.walk(t)
	d.count(t, 1)
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
	return d.finish(all, within)
}
