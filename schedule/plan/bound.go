package plan

import (
	"math"
	"slices"
)

// bounder finds a lower bound of every plan's cost. Each task is made to pay a
// share of what it shares with others; whatever the shares, as long as they sum
// up to no more than the whole, the tasks' cheapest ways by themselves cost no
// more than any plan does. The shares that make this bound the highest are
// found by ascent: who uses a thing pays more of it, who does not pays less
// (Lagrangian relaxation with subgradient steps after Polyak; Fisher 1981).
//
// Two things make the bound higher where a slot's time is short. A part of each
// price may be charged by the minute, since what is opened once holds no more
// minutes than the slot has. And a task that leaves no time for any other pays
// everything it opens by itself, and a rent on top where others want the slot.
type bounder struct {
	m       *model
	w       *walker
	units   [][]int     // who pays together: single tasks, and bundles behind them
	kinds   [][]int     // by unit: the kinds it needs
	members [][]int     // by kind: the units that need it
	place   [][]int     // by unit and place in kinds: its place in members
	bundles []*bundle   // by unit; nil for single tasks
	alone   [][]bool    // by task and slot: no other task fits beside it
	loners  [][]int     // by kind: the members that are alone in any slot
	shares  [][]float64 // by kind: slot after slot, the members' shares
	crowd   [][]float64 // by kind and slot: price of a minute
	rent    []float64   // by slot: what a sitting costs above its price, since only one sort of task can have it
	ways    [][]int     // by task: the last ways
	tolls   []float64
	pull    [][]float64 // by kind: direction of the last step
	over    [][]float64 // by kind and slot: hours too much, in the last step
	wanted  []float64   // by slot: sorts of tasks that want it, less the one it can hold
	theta   float64
	spans   [][]span  // by task: the steps that a plan cheaper than the best may take
	costs   []float64 // by unit: of the last ways, tolls included
	narrow  narrower
}

func newBounder(m *model) *bounder {
	b := &bounder{m: m, w: newWalker(m.n), ways: make([][]int, len(m.chains)), tolls: make([]float64, m.n), rent: make([]float64, m.n), theta: firstStride}
	for t := range m.chains {
		b.units = append(b.units, []int{t})
		least := math.Inf(1)
		for o, minutes := range m.minutes {
			if o != t {
				least = min(least, minutes)
			}
		}
		alone := make([]bool, m.n)
		for s := range alone {
			alone[s] = m.minutes[t]+least > m.room[s]+roomy || m.stretch[t] && !m.isFixed(t, s) && m.clock.elapsed([]int{t}) > m.room[s]+roomy
		}
		b.alone = append(b.alone, alone)
		b.spans = append(b.spans, m.chains[t].whole())
	}
	b.number()
	for k, units := range b.members {
		n := len(units)
		share := make([]float64, m.n*n)
		for i := range share {
			share[i] = m.price[k] / float64(n)
		}
		b.shares = append(b.shares, share)
		b.crowd = append(b.crowd, make([]float64, m.n))
		b.over = append(b.over, make([]float64, m.n))
	}
	b.wanted = make([]float64, m.n)
	return b
}

// number says which units need which kinds, where the units are new.
func (b *bounder) number() {
	m := b.m
	b.bundles, b.costs = make([]*bundle, len(b.units)), make([]float64, len(b.units))
	b.kinds, b.place, b.pull = nil, nil, nil
	b.members, b.loners = make([][]int, len(m.price)), make([][]int, len(m.price))
	for u, tasks := range b.units {
		var kinds, places []int
		for k := range m.price {
			if !slices.ContainsFunc(tasks, func(t int) bool { return slices.Contains(m.kinds[t], k) }) {
				continue
			}
			kinds, places = append(kinds, k), append(places, len(b.members[k]))
			b.members[k] = append(b.members[k], u)
			if slices.Contains(b.alone[tasks[0]], true) {
				b.loners[k] = append(b.loners[k], u)
			}
		}
		b.kinds, b.place = append(b.kinds, kinds), append(b.place, places)
	}
	for k := range m.price {
		b.pull = append(b.pull, make([]float64, m.n*len(b.members[k])))
	}
}

// regroup takes tasks in bundles from here on. What a unit paid for a kind is paid
// from now on by the unit of the first of its tasks that needs it.
func (b *bounder) regroup(groups [][]int) {
	m := b.m
	paid := make([][][]float64, len(m.price)) // by kind, task and slot
	for k := range paid {
		paid[k] = make([][]float64, len(m.chains))
		for j, u := range b.members[k] {
			t := b.units[u][slices.IndexFunc(b.units[u], func(t int) bool { return slices.Contains(m.kinds[t], k) })]
			for s := range m.n {
				paid[k][t] = append(paid[k][t], b.shares[k][s*len(b.members[k])+j])
			}
		}
	}
	b.units = nil
	for t := range m.chains {
		if !slices.ContainsFunc(groups, func(g []int) bool { return slices.Contains(g, t) }) {
			b.units = append(b.units, []int{t})
		}
	}
	b.units = append(b.units, groups...)
	b.number()
	for k, members := range b.members {
		n := len(members)
		b.shares[k] = make([]float64, m.n*n)
		for j, u := range members {
			for _, t := range b.units[u] {
				for s, x := range paid[k][t] {
					b.shares[k][s*n+j] += x
				}
			}
		}
	}
	for u, tasks := range b.units {
		if len(tasks) > 1 {
			b.bundles[u] = newBundle(m, tasks, b.spans)
		}
	}
}

// whole is what the shares of a kind in a slot sum up to: its price and rent,
// less what is charged by the minute.
func (b *bounder) whole(k, s int) float64 {
	price := b.m.price[k]
	if k == 0 {
		price += b.rent[s]
	}
	return max(0, price-b.crowd[k][s]*b.m.room[s])
}

// evaluate gives the bound at the present shares, and fills ways.
func (b *bounder) evaluate() float64 {
	sum := 0.0
	for s := range b.m.n {
		sum += b.credit(s)
	}
	for u, tasks := range b.units {
		var cost float64
		if bundle := b.bundles[u]; bundle != nil {
			cost = bundle.walk(b.spans, b.crowded, func(done, s int) float64 { return b.together(u, done, s) }, b.ways)
			b.m.looked += bundle.states * b.m.n << len(tasks)
		} else {
			t := tasks[0]
			b.pay(u, b.tolls)
			cost, b.ways[t] = b.m.walkWithin(b.w, &b.m.chains[t], b.spans[t], b.tolls, noStep, b.ways[t][:0])
		}
		b.costs[u] = cost
		sum += cost
	}
	return sum
}

// crowded is what a task pays by the minute in a slot.
func (b *bounder) crowded(t, s int) float64 {
	sum := 0.0
	for _, k := range b.m.kinds[t] {
		sum += b.crowd[k][s]
	}
	return sum * b.m.least(t, s)
}

// together is what some tasks of a bundle pay for what they open in a slot.
func (b *bounder) together(u, done, s int) float64 {
	sum := 0.0
	for i, k := range b.kinds[u] {
		for j, t := range b.units[u] {
			if done>>j&1 == 1 && slices.Contains(b.m.kinds[t], k) {
				sum += b.shares[k][s*len(b.members[k])+b.place[u][i]]
				break
			}
		}
	}
	return sum
}

// narrowTo leaves out the steps that no plan cheaper than most can take.
func (b *bounder) narrowTo(bound, most float64) {
	for u, tasks := range b.units {
		if len(tasks) == 1 {
			b.pay(u, b.tolls)
			b.narrow.narrow(&b.m.chains[tasks[0]], b.spans[tasks[0]], b.tolls, b.costs[u]+most-bound+closeEnough)
		}
	}
}

// credit is what a slot gives back of what is charged for it: what is charged
// above the price, by the minute or as rent, is charged whether or not the slot
// is used up. It is never above zero.
func (b *bounder) credit(s int) float64 {
	sum := 0.0
	for k, price := range b.m.price {
		sum += min(0, price-b.crowd[k][s]*b.m.room[s]-b.whole(k, s))
	}
	return sum
}

// pay fills in what each slot costs a unit of one task by its shares.
func (b *bounder) pay(u int, tolls []float64) {
	m, t := b.m, b.units[u][0]
	for s := range tolls {
		toll := 0.0
		for j, k := range b.kinds[u] {
			if b.alone[t][s] {
				// It pays the share of everyone and the minutes of the whole slot.
				toll += b.whole(k, s) + b.crowd[k][s]*m.room[s]
			} else {
				toll += b.shares[k][s*len(b.members[k])+b.place[u][j]] + b.crowd[k][s]*m.least(t, s)
			}
		}
		tolls[s] = toll
	}
}

// least gives the minutes that a task takes of a slot at the least: not more than
// the slot has, where it may run over.
func (m *model) least(t, s int) float64 { return min(m.minutes[t], m.room[s]) }

// keepPull is how much of the last direction a step keeps. From trials.
const keepPull = 0.6

// firstStride is the first share of the way to the target that a step goes.
// Each step towards an even split is undone by the projection in part, so it is
// well above one. From trials.
const firstStride = 6

// chargedStride is the first share where the shares began with what those would pay who
// want a thing. From trials.
const chargedStride = 1

// hour scales minutes so that an hour too much pulls like one user.
const hour = 60

// step moves the shares so as to raise the bound towards a target.
func (b *bounder) step(bound, target float64) {
	m := b.m
	size := 0.0
	over, wanted := b.over, b.wanted
	for k, members := range b.members {
		n := len(members)
		pull := b.pull[k]
		for i := range pull {
			pull[i] *= keepPull
		}
		clear(over[k])
		for j, u := range members {
			for i, t := range b.units[u] {
				if len(b.units[u]) > 1 && !slices.Contains(m.kinds[t], k) {
					continue
				}
				for _, s := range b.ways[t] {
					if b.alone[t][s] {
						over[k][s] += m.room[s] / hour
						continue
					}
					over[k][s] += m.least(t, s) / hour
					if !b.counted(u, i, k, s) {
						pull[s*n+j] += 1 - keepPull
					}
				}
			}
		}
		for s := range m.n {
			alone := 0.0
			for _, u := range b.loners[k] {
				if t := b.units[u][0]; b.alone[t][s] && containsSorted(b.ways[t], s) {
					alone++
				}
			}
			sum, squares := 0.0, 0.0
			for _, x := range pull[s*n : s*n+n] {
				sum += x
				squares += x * x
			}
			size += max(0, squares-sum*sum/float64(n)) // about their mean, since they move only among each other
			// While the shares' whole shrinks as the minutes' price grows, what
			// counts is the minutes above what those who pay shares use.
			users := 1.0
			if whole := b.whole(k, s); whole > 0 {
				users = 0
				if sum > 0 {
					for j, share := range b.shares[k][s*n : s*n+n] {
						users += pull[s*n+j] * share
					}
				}
				users = min(1, users/whole)
				over[k][s] -= alone * m.room[s] / hour
			}
			over[k][s] -= users * m.room[s] / hour
			if k == 0 {
				wanted[s] = alone + users - 1
			}
			if k == 0 && (wanted[s] > 0 || b.rent[s] > 0) {
				size += wanted[s] * wanted[s]
			}
			if o := over[k][s]; o > 0 || b.crowd[k][s] > 0 {
				size += o * o
			}
		}
	}
	if size < 1e-12 {
		return
	}
	stride := b.theta * max(target-bound, 1e-9) / size
	for k, members := range b.members {
		n := len(members)
		for s := range m.n {
			was := b.whole(k, s)
			if k == 0 {
				b.rent[s] = max(0, b.rent[s]+stride*wanted[s])
			}
			b.crowd[k][s] = max(0, b.crowd[k][s]+stride*over[k][s]/hour)
			moved := b.whole(k, s) != was
			share := b.shares[k][s*n : s*n+n]
			for j, x := range b.pull[k][s*n : s*n+n] {
				if x > 1e-9 {
					share[j] += stride * x
					moved = true
				}
			}
			if moved {
				project(share, b.whole(k, s))
			}
		}
	}
}

// counted tells whether one of the tasks before the i-th of a unit uses a kind in a
// slot as well: they pay once.
func (b *bounder) counted(u, i, k, s int) bool {
	for _, t := range b.units[u][:i] {
		if slices.Contains(b.m.kinds[t], k) && containsSorted(b.ways[t], s) {
			return true
		}
	}
	return false
}

// containsSorted looks for a slot in a way; both rise.
func containsSorted(way []int, slot int) bool {
	for _, s := range way {
		if s >= slot {
			return s == slot
		}
	}
	return false
}

// project moves shares to the nearest ones that are not negative and sum up to
// the whole (Michelot 1986).
func project(shares []float64, whole float64) {
	if whole <= 0 {
		clear(shares)
		return
	}
	sum := 0.0
	for _, x := range shares {
		sum += x
	}
	off := (sum - whole) / float64(len(shares))
	for range shares { // each round but the last drops one at least
		sum, count := 0.0, 0
		for _, x := range shares {
			if x > off {
				sum += x
				count++
			}
		}
		if count == 0 {
			break
		}
		next := (sum - whole) / float64(count)
		if next <= off {
			break
		}
		off = next
	}
	sum = 0
	for j := range shares {
		shares[j] = max(0, shares[j]-off)
		sum += shares[j]
	}
	if sum > whole { // rounding must not make the bound too high
		for j := range shares {
			shares[j] *= whole / sum
		}
	}
}
