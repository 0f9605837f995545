package plan

import (
	"cmp"
	"math"
	"slices"
)

// sweep goes through the slots in order and branches at each over the set of
// tasks done there. A branch is dropped when what it has cost, and what the
// shares say the rest will cost at the least, is no less than the best plan;
// of two branches that last did every task in the same slots only the cheaper
// is followed. Where there are too many, the least promising are dropped too,
// and the bound is no higher than theirs.
type sweep struct {
	s      *search
	m      *model
	rest   [][][]float64 // by task, node left and slots passed: least cost of what follows, tolls included
	tolls  [][]float64   // by task and slot
	credit []float64     // by slots passed: what the slots after give back
	open   float64       // lowest bound of what was dropped though it was promising
	layers [][]branch    // by slots passed
	most   int           // branches kept a slot
	sets   int           // sets of tasks tried a branch

	// Of the branch that is being followed on:
	gains  []gain
	after  []float64 // by place in gains: what the rest can gain at the most
	parent int
	seen   map[string]int
	next   []branch
	key    []byte
	set    []int
}

// branch is what was done up to a slot.
type branch struct {
	last   []uint8 // by task: the node it was last done at
	cost   float64
	bound  float64
	parent int // in the layer before
}

// gain is what it does to a branch's bound to do a task in the slot: before
// anything is opened, and with its toll for that.
type gain struct {
	task          int
	step          float64
	plain, tolled float64
}

// sweepable is the most slots times tasks that a sweep can settle; beyond that
// there are too many branches. A branch can tell as many slots apart.
const sweepable = 255

func (s *search) sweep() {
	if s.m.n > sweepable || s.m.n == 0 || len(s.m.chains) == 0 {
		return
	}
	w := &sweep{s: s, m: s.m, open: noStep}
	w.prepare()
	left := s.m.effort - s.m.looked
	w.most = max(20, left/(s.m.n*len(s.m.chains)*50))
	w.sets = max(100, left/(s.m.n*w.most))
	first := branch{last: make([]uint8, len(s.m.chains))}
	w.layers = [][]branch{{first}}
	for slot := range s.m.n {
		if s.m.ctx.Err() != nil {
			return
		}
		w.advance(slot)
	}
	best, at := noStep, -1
	for i, b := range w.layers[s.m.n] {
		if b.bound < best {
			best, at = b.bound, i
		}
	}
	if best < s.cost-closeEnough {
		s.d.setAll(w.trace(at))
		s.offer(s.d.settle(s.order))
	}
	s.bound = max(s.bound, min(w.open, s.cost))
}

// prepare works out the least cost of what may still come.
func (w *sweep) prepare() {
	m := w.m
	for t := range m.chains {
		c := &m.chains[t]
		tolls := make([]float64, m.n)
		w.s.b.pay(t, tolls)
		rest := make([][]float64, m.n+1)
		for i := m.n; i >= 0; i-- {
			row := make([]float64, m.n+1)
			row[m.n] = c.end[i]
			for s := m.n - 1; s >= i; s-- { // the turn after node i is in slot s, node s+1, or later
				row[s] = row[s+1]
				if j := s + 1 - c.first[i]; j < len(c.steps[i]) {
					row[s] = min(row[s], c.steps[i][j]+tolls[s]+rest[s+1][s+1])
				}
			}
			rest[i] = row
		}
		w.rest, w.tolls = append(w.rest, rest), append(w.tolls, tolls)
	}
	w.credit = make([]float64, m.n+1)
	for s := m.n - 1; s >= 0; s-- {
		w.credit[s] = w.credit[s+1] + w.s.b.credit(s)
	}
}

// advance follows every branch over one slot.
func (w *sweep) advance(slot int) {
	w.seen, w.next = map[string]int{}, nil
	here := w.layers[slot]
	for i := range here {
		w.follow(slot, i, &here[i])
	}
	if len(w.next) > w.most {
		slices.SortFunc(w.next, func(a, b branch) int {
			return cmp.Or(cmp.Compare(a.bound, b.bound), slices.Compare(a.last, b.last))
		})
		w.open = min(w.open, w.next[w.most].bound)
		w.next = slices.Clip(w.next[:w.most])
	}
	w.layers = append(w.layers, w.next)
}

// follow finds every set of tasks worth doing in a slot after a branch.
func (w *sweep) follow(slot, parent int, b *branch) {
	m := w.m
	m.looked += len(m.chains)
	w.parent = parent
	w.gains = w.gains[:0]
	idle := b.cost + w.credit[slot+1]
	for t, last := range b.last {
		c := &m.chains[t]
		wait := w.rest[t][last][slot+1]
		idle += wait
		j := slot + 1 - c.first[last]
		if j >= len(c.steps[last]) || math.IsInf(c.steps[last][j], 1) {
			continue
		}
		g := gain{task: t, step: c.steps[last][j]}
		// Where waiting can go on to no end, the gain is without end as well; a
		// large one does, since the bound of what waits is without end by itself.
		g.plain = g.step + w.rest[t][slot+1][slot+1] - wait
		g.tolled = g.plain + w.tolls[t][slot]
		w.gains = append(w.gains, g)
	}
	if math.IsInf(idle, 1) {
		w.forced(slot, b)
		return
	}
	slices.SortFunc(w.gains, func(a, b gain) int { return cmp.Or(cmp.Compare(a.tolled, b.tolled), cmp.Compare(a.task, b.task)) })
	w.try(slot, b, idle, w.credit[slot]-w.credit[slot+1])
}

// forced follows a branch on in which some task cannot wait, since the owner
// fixed its day: those that cannot wait are done, and their waiting not counted.
func (w *sweep) forced(slot int, b *branch) {
	idle := b.cost + w.credit[slot+1]
	for t, last := range b.last {
		wait := w.rest[t][last][slot+1]
		if !math.IsInf(wait, 1) {
			idle += wait
			continue
		}
		i := slices.IndexFunc(w.gains, func(g gain) bool { return g.task == t })
		if i < 0 || math.IsInf(w.rest[t][slot+1][slot+1], 1) {
			return // nothing can be done in this branch
		}
		// A gain so large that no set without it is worth following.
		const must = 1e12
		idle += must
		w.gains[i].plain = w.gains[i].step + w.rest[t][slot+1][slot+1] - must
		w.gains[i].tolled = w.gains[i].plain + w.tolls[t][slot]
	}
	slices.SortFunc(w.gains, func(a, b gain) int { return cmp.Or(cmp.Compare(a.tolled, b.tolled), cmp.Compare(a.task, b.task)) })
	w.try(slot, b, idle, w.credit[slot]-w.credit[slot+1])
}

// try follows a branch on with each set of tasks that can be done in the slot.
func (w *sweep) try(slot int, b *branch, idle, credit float64) {
	n := len(w.gains)
	w.after = append(w.after[:0], make([]float64, n+1)...)
	for i := n - 1; i >= 0; i-- {
		w.after[i] = w.after[i+1] + min(0, w.gains[i].tolled)
	}
	tried := 0
	chosen := make([]int, 0, n) // places in gains
	var try func(i int, tolled, plain, minutes float64)
	try = func(i int, tolled, plain, minutes float64) {
		w.m.looked++
		if idle+credit+tolled+w.after[i] >= w.s.cost-closeEnough {
			return // even if every price were paid by shares alone, it is too dear
		}
		if tried++; tried > w.sets {
			w.open = min(w.open, idle+credit+tolled+w.after[i])
			return
		}
		if i == n {
			w.keep(slot, b, idle, plain, chosen)
			return
		}
		g := w.gains[i]
		if len(chosen) == 0 || minutes+w.m.minutes[g.task] <= w.m.room[slot]+roomy {
			chosen = append(chosen, i)
			try(i+1, tolled+g.tolled, plain+g.plain, minutes+w.m.minutes[g.task])
			chosen = chosen[:len(chosen)-1]
		}
		try(i+1, tolled, plain, minutes)
	}
	try(0, 0, 0, 0)
}

// keep adds a branch to the next layer, unless it is too dear or a cheaper one
// stands there.
func (w *sweep) keep(slot int, b *branch, idle, plain float64, chosen []int) {
	if !w.holds(slot, chosen) {
		return
	}
	bound, cost := idle+plain, b.cost
	for k, members := range w.m.members {
		for _, i := range chosen {
			if t := w.gains[i].task; slices.Contains(w.m.kinds[t], k) && len(members) > 0 {
				bound += w.m.price[k]
				cost += w.m.price[k]
				break
			}
		}
	}
	if bound >= w.s.cost-closeEnough {
		return
	}
	w.key = append(w.key[:0], b.last...)
	for _, i := range chosen {
		w.key[w.gains[i].task] = uint8(slot + 1)
		cost += w.gains[i].step
	}
	if at, ok := w.seen[string(w.key)]; ok {
		if cost < w.next[at].cost {
			w.next[at].cost, w.next[at].bound, w.next[at].parent = cost, bound, w.parent
		}
		return
	}
	w.seen[string(w.key)] = len(w.next)
	w.next = append(w.next, branch{last: slices.Clone(w.key), cost: cost, bound: bound, parent: w.parent})
}

// holds tells whether a slot holds the tasks chosen.
func (w *sweep) holds(slot int, chosen []int) bool {
	w.set = w.set[:0]
	fixed := true
	for _, i := range chosen {
		t := w.gains[i].task
		w.set = append(w.set, t)
		fixed = fixed && w.m.isFixed(t, slot)
	}
	slices.Sort(w.set)
	return fixed || w.m.holds(w.set, slot)
}

// trace gives the ways of a branch of the last layer.
func (w *sweep) trace(at int) [][]int {
	ways := make([][]int, len(w.m.chains))
	for slot := w.m.n; slot > 0; slot-- {
		b := w.layers[slot][at]
		for t, last := range b.last {
			if int(last) == slot {
				ways[t] = append(ways[t], slot-1)
			}
		}
		at = b.parent
	}
	for t := range ways {
		slices.Reverse(ways[t])
	}
	return ways
}
