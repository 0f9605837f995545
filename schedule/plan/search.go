package plan

import (
	"cmp"
	"math"
	"slices"
)

// search looks for the cheapest draft of a model and for a bound below which no
// plan lies. It stops when both meet or the effort is used.
type search struct {
	m     *model
	b     *bounder
	d     *draft
	order []int // tasks in the order in which drafts are filled
	best  [][]int
	cost  float64 // of the best
	bound float64
}

// closeEnough is the difference, in minutes, below which two plans are equally
// good.
const closeEnough = 1e-6

// solve plans; start is a plan to begin with and hold to, hint one to begin with,
// nil for none.
func solve(m *model, pinned []bool, start, hint [][]int) *search {
	s := &search{m: m, b: newBounder(m), d: newDraft(m), cost: noStep}
	if m.quiet && start != nil {
		s.order = m.orders(pinned)[0]
	} else {
		s.begin(pinned)
	}
	if hint != nil {
		s.follow(hint)
	}
	if start == nil {
		s.run()
		return s
	}
	kept := s.follow(start)
	ways := s.d.copyWays()
	worth := worthMoving * (kept - s.d.strained())
	s.run()
	if !s.met() && s.cost > kept-worth {
		s.best, s.cost = ways, kept
	}
	return s
}

// begin makes first drafts, task after task in several orders, and keeps to the
// order that gave the cheapest.
func (s *search) begin(pinned []bool) {
	for _, order := range s.m.orders(pinned) {
		s.d.clear()
		for _, t := range order {
			s.d.refit(t)
		}
		if cost := s.d.settle(order); s.order == nil || cost < s.cost-1e-9 {
			s.order = order
			s.offer(cost)
		}
	}
	s.d.setAll(s.best)
}

// orders gives the orders in which drafts are made. What the owner fixed has its room
// before others.
func (m *model) orders(pinned []bool) [3][]int {
	urgency := make([]float64, len(m.chains))
	for t := range urgency {
		urgency[t] = m.urgency(t)
	}
	asked := func(a, b int) int { return cmp.Compare(a, b) }
	urgent := func(a, b int) int { return cmp.Compare(urgency[b], urgency[a]) }
	long := func(a, b int) int { return cmp.Compare(m.whole[b], m.whole[a]) }
	var orders [3][]int
	for i, by := range [...]func(a, b int) int{
		urgent,
		func(a, b int) int { return cmp.Or(long(a, b), urgent(a, b)) }, // long work finds no room later
		asked,
	} {
		order := make([]int, len(m.chains))
		for t := range order {
			order[t] = t
		}
		slices.SortStableFunc(order, func(a, b int) int {
			if pinned[a] != pinned[b] {
				if pinned[a] {
					return -1
				}
				return 1
			}
			return by(a, b)
		})
		orders[i] = order
	}
	return orders
}

// urgentSlots is over how many slots it is looked how fast a task's next turn
// gets dearer. From trials.
const urgentSlots = 8

// urgency is by how much a task's next turn gets dearer from slot to slot, for
// each minute that it takes: who waits in that order costs the least where there
// is not room for all at once (Smith 1956).
func (m *model) urgency(t int) float64 {
	row := m.chains[t].steps[0]
	first := slices.IndexFunc(row, func(x float64) bool { return x < noStep })
	if first < 0 {
		return 0
	}
	last := min(first+urgentSlots, len(row)-1)
	if last == first {
		return 0
	}
	return (row[last] - row[first]) / float64(last-first) / max(1, m.whole[t])
}

// worthMoving is by what share of its cost another plan must be cheaper than
// the one published last, fitted to the news, for all to be arranged anew. A
// search that is not complete finds a little more each time it is asked; without
// this, plans would move for no reason that anybody could see. From trials.
const worthMoving = 0.005

// follow makes a draft of ways that may not fit together, or not any more, and
// gives its cost.
func (s *search) follow(ways [][]int) float64 {
	s.d.clear()
	for _, t := range s.order {
		s.take(t, ways[t])
		if len(s.d.ways[t]) < len(ways[t]) || math.IsInf(s.m.chains[t].along(s.d.ways[t]), 1) {
			s.d.refit(t)
		}
	}
	cost := s.d.settle(s.order)
	s.offer(cost)
	return cost
}

// take gives a task as much of a way as has room.
func (s *search) take(t int, way []int) {
	var fits []int
	for _, x := range way {
		if s.d.fits(t, x) {
			fits = append(fits, x)
		}
	}
	s.d.set(t, fits)
}

// offer keeps the draft where it is the cheapest so far.
func (s *search) offer(cost float64) {
	if cost < s.cost-1e-9 {
		s.cost, s.best = cost, s.d.copyWays()
	}
}

// met tells whether the best is known to be the best there is.
func (s *search) met() bool { return s.bound >= s.cost-closeEnough }

// Parts of the effort. From trials on households.
const (
	ascentShare   = 0.25 // of the effort, for raising the bound
	ascentCrowded = 0.65 // the same where some late date is past
	improveShare  = 0.85 // of the effort, by when drafts are improved where a sweep is to follow
	draftEvery    = 24   // steps of the ascent from one draft to the next
	narrowEvery   = 12   // steps of the ascent from one narrowing to the next
	mostSteps     = 600  // of the ascent
)

// run raises the bound, improves the best draft, and then sweeps over the slots
// for what neither has settled, where they are few enough for that to help.
func (s *search) run() {
	whole := s.m.effort
	share, crowded := ascentShare, s.d.strained() > 0
	if crowded {
		share = ascentCrowded
	}
	s.m.effort = int(share * float64(whole))
	s.d.setAll(s.best)
	if !crowded {
		s.b.charge(s.d)
		s.b.theta = chargedStride
	}
	s.ascend()
	small := s.m.n*len(s.m.chains) <= sweepable
	if small {
		s.m.effort = int(improveShare * float64(whole))
	} else {
		s.m.effort = whole
	}
	if !s.met() {
		s.d.setAll(s.best)
		s.d.spans = s.b.spans
		s.d.allStale()
		s.offer(s.d.improve(s.order))
		s.d.spans = nil
		s.d.allStale()
	}
	s.m.effort = whole
	if small && !s.met() {
		s.sweep()
	}
}

// ascend raises the bound by steps of the shares, making a draft every so many
// of them, and leaves the shares that gave the highest.
func (s *search) ascend() {
	s.bound = math.Inf(-1)
	s.climb(true)
}

// climb raises the bound from where it is, mostSteps of them at most, with drafts or
// without, and leaves the shares that gave the highest.
func (s *search) climb(drafts bool) {
	var kept shareState
	s.b.save(&kept)
	stale := 0
	for i := range mostSteps {
		bound := s.b.evaluate()
		if bound > s.bound+1e-9 {
			s.b.save(&kept)
			s.bound, stale = bound, 0
		} else if stale++; stale >= 4 {
			s.b.theta *= 0.8
			stale = 0
		}
		if drafts && i%draftEvery == draftEvery-1 {
			s.follow(s.b.ways)
		}
		if i%narrowEvery == narrowEvery-1 {
			s.b.narrowTo(bound, s.cost)
		}
		if s.met() || s.m.spent() || s.b.theta < 1e-4 {
			break
		}
		s.b.step(bound, min(s.cost, s.bound+0.2*math.Abs(s.bound)+10))
	}
	s.b.restore(&kept)
	s.bound = min(s.bound, s.cost)
}

// shareState is a bounder's shares as they were.
type shareState struct {
	shares, crowd [][]float64
	rent          []float64
}

func (b *bounder) save(to *shareState) {
	if to.shares == nil {
		to.shares, to.crowd = make([][]float64, len(b.shares)), make([][]float64, len(b.crowd))
	}
	to.rent = append(to.rent[:0], b.rent...)
	for k := range b.shares {
		to.shares[k] = append(to.shares[k][:0], b.shares[k]...)
		to.crowd[k] = append(to.crowd[k][:0], b.crowd[k]...)
	}
}

func (b *bounder) restore(from *shareState) {
	copy(b.rent, from.rent)
	for k := range b.shares {
		copy(b.crowd[k], from.crowd[k])
		copy(b.shares[k], from.shares[k])
	}
}
