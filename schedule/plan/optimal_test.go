package plan

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
)

// soaking tells whether the long form of tests is asked for.
func soaking() bool { return os.Getenv("LIMEKEEP_SOAK") != "" }

// everything finds the least cost of a small model by trying everything: slot
// after slot, each set of tasks that fits, for every combination of the slots
// in which the tasks were last done.
func everything(m *model) float64 {
	tasks, n := len(m.chains), m.n
	strides := make([]int, tasks+1)
	strides[0] = 1
	for t := range tasks {
		strides[t+1] = strides[t] * (n + 1)
	}
	cost := make([]float64, strides[tasks])
	for i := range cost {
		cost[i] = math.Inf(1)
	}
	cost[0] = 0
	masks := 1 << tasks
	opening, shift := make([]float64, masks), make([]int, masks)
	sub := make([]float64, masks)
	last := make([]int, tasks)
	for s := 1; s <= n; s++ {
		for mask := 1; mask < masks; mask++ {
			price := 0.0
			var set []int
			for k, members := range m.members {
				if slices.ContainsFunc(members, func(t int) bool { return mask>>t&1 == 1 }) {
					price += m.price[k]
				}
			}
			for t := range tasks {
				if mask>>t&1 == 1 {
					set = append(set, t)
				}
			}
			if !m.holds(set, s-1) {
				price = math.Inf(1)
			}
			opening[mask] = price
		}
		clear(last)
		for state := 0; ; {
			if c := cost[state]; !math.IsInf(c, 1) {
				for mask := 1; mask < masks; mask++ {
					low := mask & (mask - 1)
					t := bits.TrailingZeros(uint(mask))
					sub[mask] = sub[low] + m.chains[t].steps[last[t]][s-last[t]-1]
					shift[mask] = shift[low] + (s-last[t])*strides[t]
					if x := c + sub[mask] + opening[mask]; x < cost[state+shift[mask]] {
						cost[state+shift[mask]] = x
					}
				}
			}
			t := 0
			for ; t < tasks; t++ { // the next combination of slots before s
				if last[t]++; last[t] < s {
					state += strides[t]
					break
				}
				state -= (s - 1) * strides[t]
				last[t] = 0
			}
			if t == tasks {
				break
			}
		}
	}
	best := math.Inf(1)
	for state, c := range cost {
		if math.IsInf(c, 1) {
			continue
		}
		for t := range tasks {
			c += m.chains[t].end[state/strides[t]%(n+1)]
		}
		best = min(best, c)
	}
	return best
}

// The search finds the least cost there is, and its bound says so.
func TestOptimalAgainstTryingEverything(t *testing.T) {
	cases := 220
	if soaking() {
		cases = 1000
	}
	proven, covered := 0, 0
	for i := range cases {
		r := smallCase(rand.New(rand.NewPCG(uint64(i), 1)))
		if !soaking() && len(r.Tasks) == 6 && len(r.Slots) > 7 {
			r.Tasks = r.Tasks[:5] // the largest take seconds under the race detector
		}
		m := newModel(r, nil)
		s := solve(m, make([]bool, len(r.Tasks)), nil, nil)
		s.d.setAll(s.best)
		if covers := r.covers(s); slices.ContainsFunc(covers, func(c []int) bool { return len(c) > 0 }) {
			covered++
			ways := s.best
			m = newModel(r, covers)
			for t, way := range ways {
				if len(r.Tasks[t].Covers) > 0 {
					m.fix(t, way)
				}
			}
			s = solve(m, make([]bool, len(r.Tasks)), nil, ways)
		}
		want := everything(m)
		if math.Abs(s.cost-want) > 1e-5*(1+want) {
			t.Errorf("case %d: %d tasks, %d slots: found %.6f, the least is %.6f", i, len(r.Tasks), len(r.Slots), s.cost, want)
		}
		if s.bound > want+1e-5*(1+want) {
			t.Errorf("case %d: bound %.6f above the least cost %.6f", i, s.bound, want)
		}
		if s.bound >= s.cost-1e-5 {
			proven++
		}
		if i%4 == 0 { // by way of bundles as well the bound stays below the least
			s.bound = math.Inf(-1)
			s.prove(UsualEffort / 4)
			if s.bound > want+1e-5*(1+want) {
				t.Errorf("case %d: proof %.6f above the least cost %.6f", i, s.bound, want)
			}
		}
		s.d.setAll(s.best)
		if cost := s.d.cost(); math.Abs(cost-s.cost) > 1e-6*(1+cost) {
			t.Errorf("case %d: the plan costs %.6f, not %.6f", i, cost, s.cost)
		}
	}
	t.Logf("%d cases, %d proven optimal by the bound, %d with covers", cases, proven, covered)
}
