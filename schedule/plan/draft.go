package plan

import (
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
	full []float64 // by slot: the same with waits
	ban  []bool    // by slot: closed for now
	open []int     // slots that cost nothing to open, for now
	only int       // the kind of them that costs nothing, 0 for all; and that is closed in shut
	shut int       // a slot in which that kind is closed for now; -1 for none
	paid []int     // by kind: in how many slots it is opened
	each []float64 // by task: the price of its way

	// Tasks whose cheapest way may be another one since others have moved.
	stale []bool
	way   []int // found last
	toll  []float64
	set0  []int // for trying

	gain   [][]float64 // by task and slot: see weigh
	whole  [][]span    // by task: all steps
	around narrower

	spans [][]span // by task: the steps that it may take; all where nil
}

func newDraft(m *model) *draft {
	d := &draft{m: m, shut: -1, paid: make([]int, len(m.price)), each: make([]float64, len(m.chains)), w: newWalker(m.n), ways: make([][]int, len(m.chains)), sets: make([][]int, m.n), load: make([]float64, m.n), full: make([]float64, m.n), ban: make([]bool, m.n), toll: make([]float64, m.n), stale: make([]bool, len(m.chains))}
	d.allStale()
	for t := range m.chains {
		d.whole = append(d.whole, m.chains[t].whole())
		d.each[t] = m.chains[t].along(nil)
	}
	for range m.price {
		d.used = append(d.used, make([]int, m.n))
	}
	return d
}

// count puts a task into a slot, or takes it out.
func (d *draft) count(t, slot, by int) {
	d.load[slot] += float64(by) * d.m.minutes[t]
	d.full[slot] += float64(by) * d.m.whole[t]
	d.sets[slot] = toggle(d.sets[slot], t)
	for _, k := range d.m.kinds[t] {
		used := d.used[k]
		if used[slot] == 0 {
			d.paid[k]++
		}
		if used[slot] += by; used[slot] == 0 {
			d.paid[k]--
		}
	}
}

// including gives a set of tasks and one more that is not in it, in order; the set given
// stays as it is.
func including(set []int, t int) []int {
	at, _ := slices.BinarySearch(set, t)
	return slices.Insert(slices.Clone(set), at, t)
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

// set gives a task another way, and has it and those to whom that matters looked at again.
func (d *draft) set(t int, way []int) {
	d.change(t, way, true)
	d.stale[t] = true
}

// allStale has all tasks looked at again.
func (d *draft) allStale() {
	for t := range d.stale {
		d.stale[t] = true
	}
}

// change gives a task another way, and tells those to whom it matters: slots got cheaper
// for them, or dearer where they are.
func (d *draft) change(t int, way []int, tell bool) {
	was, now := d.ways[t], way
	for len(was) > 0 || len(now) > 0 {
		switch {
		case len(now) == 0 || len(was) > 0 && was[0] < now[0]:
			d.count(t, was[0], -1)
			if tell {
				d.tellLeft(t, was[0])
			}
			was = was[1:]
		case len(was) == 0 || now[0] < was[0]:
			d.count(t, now[0], 1)
			if tell {
				d.tellCame(t, now[0])
			}
			now = now[1:]
		default:
			was, now = was[1:], now[1:]
		}
	}
	d.ways[t] = append(d.ways[t][:0], way...)
	d.each[t] = d.m.chains[t].along(way)
}

// tellLeft marks those who now pay alone for what they shared with a task in a slot, and
// those for whom there was no room.
func (d *draft) tellLeft(t, slot int) {
	m := d.m
	for _, k := range m.kinds[t] {
		if d.used[k][slot] == 1 {
			for _, o := range d.sets[slot] {
				d.stale[o] = d.stale[o] || m.needs(o, k)
			}
		}
	}
	room := m.room[slot] + roomy - m.heating - d.full[slot] - m.whole[t]
	for o, whole := range m.whole {
		if whole > room {
			d.stale[o] = true
		}
	}
}

// tellCame marks those who get for nothing what a task opens in a slot, and those for whom
// there may be no room there any more: what is fixed there asks for none.
func (d *draft) tellCame(t, slot int) {
	if d.m.heating+d.full[slot] > d.m.room[slot]+roomy {
		for _, o := range d.sets[slot] {
			d.stale[o] = d.stale[o] || o != t
		}
	}
	for _, k := range d.m.kinds[t] {
		if d.used[k][slot] == 1 {
			for _, o := range d.m.members[k] {
				d.stale[o] = d.stale[o] || o != t
			}
		}
	}
}

// needs tells whether a task needs a kind.
func (m *model) needs(t, k int) bool {
	for _, x := range m.kinds[t] {
		if x == k {
			return true
		}
	}
	return false
}

// load's sums may be off by rounding; roomy forgives as much.
const roomy = 1e-6

// refit finds the cheapest way for one task, given all others. It leaves one that is as
// cheap as any.
func (d *draft) refit(t int) {
	d.stale[t] = false
	d.tollsWithRoom(t)
	d.each[t] = d.m.chains[t].along(d.ways[t])
	had := d.each[t]
	for _, s := range d.ways[t] {
		had += d.toll[s]
	}
	if d.walk(t, had) < had-1e-9 {
		d.change(t, d.way, true)
	}
}

// tollsWithRoom works out the tolls of a task, without end where it has no room.
func (d *draft) tollsWithRoom(t int) {
	m, own := d.m, d.ways[t]
	d.tolls(t)
	hands, whole, fixed := m.minutes[t]-roomy, m.heating+m.whole[t]-roomy, len(m.fixed[t]) > 0
	for s := range d.toll {
		here := len(own) > 0 && own[0] == s
		if here {
			own = own[1:]
		}
		switch {
		case d.ban[s], s == d.shut && m.needs(t, d.only):
			d.toll[s] = noStep
		case here:
			if !d.stays(t, s) {
				d.toll[s] = noStep
			}
		case d.full[s]+whole <= m.room[s]: // there is room for one after another
		case !fixed && len(d.sets[s]) > 0 && d.load[s]+hands > m.room[s] || !d.fits(t, s):
			d.toll[s] = noStep
		}
	}
}

// stays tells whether a task that is in a slot may stay there.
func (d *draft) stays(t, slot int) bool {
	return d.m.heating+d.full[slot] <= d.m.room[slot]+roomy || d.m.isFixed(t, slot) || d.m.holds(d.sets[slot], slot)
}

// tolls works out what a task opens in each slot, given all others.
func (d *draft) tolls(t int) {
	clear(d.toll)
	for _, k := range d.m.kinds[t] {
		price, used := d.m.price[k], d.used[k]
		for s, n := range used {
			if n == 0 {
				d.toll[s] += price
			}
		}
		for _, s := range d.ways[t] {
			if used[s] == 1 {
				d.toll[s] += price
			}
		}
		if d.only > 0 && k != d.only {
			continue
		}
		for _, s := range d.open {
			if used[s] == 0 || used[s] == 1 && containsSorted(d.ways[t], s) {
				d.toll[s] -= price
			}
		}
	}
}

// walk finds the cheapest way of a task at the tolls, and returns its price: more than most
// where there is none for less.
func (d *draft) walk(t int, most float64) float64 {
	var spans []span
	if d.spans != nil {
		spans = d.spans[t]
	}
	var cost float64
	cost, d.way = d.m.walkWithin(d.w, &d.m.chains[t], spans, d.toll, most, d.way[:0])
	return cost
}

// cost gives the price of the draft: the chains and what is opened.
func (d *draft) cost() float64 {
	sum := 0.0
	for _, x := range d.each {
		sum += x
	}
	for k, n := range d.paid {
		sum += d.m.price[k] * float64(n)
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

// back goes back to settled ways.
func (d *draft) back(ways [][]int) {
	for t, way := range ways {
		d.change(t, way, false)
	}
	clear(d.stale)
}

func (d *draft) clear() {
	for t := range d.ways {
		d.set(t, nil)
	}
}

// settle refits one task after another, of those to whom it may matter what others did,
// until none gains. Each change makes the draft cheaper, so that it comes to an end;
// bounded all the same.
func (d *draft) settle(tasks []int) float64 {
	for range 50 {
		none := true
		for _, t := range tasks {
			if d.stale[t] {
				d.refit(t)
				none = false
			}
		}
		if none {
			break
		}
	}
	return d.cost()
}
