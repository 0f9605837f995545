package plan

import (
	"cmp"
	"math"
	"slices"
)

// prove raises the bound once the best plan is known, and leaves the plan as it is.
// It takes more steps than a plan is worth on an ordinary day: it says how near to
// the best plans are.
func (s *search) prove(effort int) {
	if s.met() {
		return
	}
	whole := s.m.looked + effort
	s.b.narrowTo(s.b.evaluate(), s.cost)
	s.b.fillRents()
	s.m.effort, s.b.theta = s.m.looked+effort/4, proofStride
	s.climb(false)
	s.m.effort, s.b.theta = whole, 1
	s.climb(false)
	for most := 2; most <= mostInBundle && !s.met() && s.m.looked < s.m.effort; most++ {
		s.b.evaluate()
		s.b.regroup(s.paces(most))
		s.b.theta = 1
		s.climb(false)
	}
	s.bound = min(s.bound, s.cost)
}

// proofStride is the first share of the way to the target that a step of a proof goes: the
// shares of an everyday plan are rough. From trials.
const proofStride = 10

// Bundles of so many tasks at the most are tried, of those that come at least so
// often within the plan, and of which each comes at most this share as often as the
// one before it. From trials.
const (
	mostInBundle = 3
	oftenTurns   = 8
	otherPace    = 0.88
)

// paces groups tasks that come often into bundles of different paces.
func (s *search) paces(most int) [][]int {
	m := s.m
	var often []int
	for t := range m.chains {
		if len(s.b.ways[t]) >= oftenTurns && !slices.Contains(s.b.alone[t], true) {
			often = append(often, t)
		}
	}
	slices.SortStableFunc(often, func(a, b int) int { return cmp.Compare(len(s.b.ways[b]), len(s.b.ways[a])) })
	var all [][]int
	for len(often) > 1 {
		group := []int{often[0]}
		pace := len(s.b.ways[often[0]])
		for _, t := range often[1:] {
			if len(group) == most {
				break
			}
			if float64(len(s.b.ways[t])) > otherPace*float64(pace) {
				continue
			}
			if newBundle(m, append(slices.Clone(group), t), s.b.spans) != nil {
				group, pace = append(group, t), len(s.b.ways[t])
			}
		}
		often = slices.DeleteFunc(often, func(t int) bool { return slices.Contains(group, t) })
		if len(group) > 1 {
			all = append(all, group)
		}
	}
	return all
}

// fillRents raises what slots cost above their price, for tasks that leave no room
// for others, as far as those who use the slots by their cheapest ways would rather
// pay than stay away. That alone leaves the bound where it is; what it then costs to
// push them out counts. Without it steps would find each slot's rent in turn, since
// what leaves no room is in one slot at a time.
func (b *bounder) fillRents() {
	m := b.m
	if len(b.loners[0]) == 0 {
		return
	}
	f := &b.narrow
	for u, tasks := range b.units {
		t := tasks[0]
		if len(tasks) > 1 || slices.Contains(b.alone[t], true) {
			continue
		}
		for _, s := range b.ways[t] {
			b.pay(u, b.tolls)
			c := &m.chains[t]
			f.ways(c, b.spans[t], b.tolls)
			without := f.avoiding(c, b.spans[t], b.tolls, s+1)
			more := min(without, mostRent) - f.back[0]
			if more <= 0 || math.IsInf(more, 1) {
				continue
			}
			was := b.whole(0, s)
			b.rent[s] += more
			b.shares[0][s*len(b.members[0])+b.place[u][0]] += b.whole(0, s) - was
		}
	}
}

// mostRent bounds rents where there is no way around a slot at all.
const mostRent = 1e6
