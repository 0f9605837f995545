package plan

import (
	"math"
	"slices"
)

// A task that comes every other week and one that comes every third need sittings
// in two weeks of three between them. A bound that lets each go its way by itself
// sees none of that: either may share each sitting half. So the bound takes tasks
// that come often, at paces of their own, in bundles, whose ways are found together
// and which pay once for what they open together.

// mostBundled is how many states of a bundle a slot may have; beyond that finding
// its ways takes too long. From trials.
const mostBundled = 700

// bundle finds the cheapest ways of a few tasks together. Its states are how many
// slots ago each was done.
type bundle struct {
	m      *model
	tasks  []int
	reach  []int // by task: the longest step it may take, in slots
	stride []int
	states int
	cost   []float64
	next   []float64
	from   [][]int32 // by slot and state: the state before, and in the low bits who was done
	digits []int
	do     [][]float64 // by task and slots ago: what it costs to do it in the slot
	rest   [][]float64 // what it costs to leave it
	open   []float64   // by who is done: what they open
}

// newBundle prepares a bundle of tasks that may take the steps within spans; nil
// where it would have too many states.
func newBundle(m *model, tasks []int, spans [][]span) *bundle {
	b := &bundle{m: m, tasks: tasks, states: 1}
	for _, t := range tasks {
		c, reach := &m.chains[t], 1
		for i, s := range spans[t] {
			if s.to > s.from {
				reach = max(reach, c.first[i]+s.to-1-i)
			}
		}
		b.stride = append(b.stride, b.states)
		b.reach = append(b.reach, reach)
		b.states *= reach + 1
		b.do, b.rest = append(b.do, make([]float64, reach+1)), append(b.rest, make([]float64, reach+1))
	}
	if b.states > mostBundled {
		return nil
	}
	b.cost, b.next = make([]float64, b.states), make([]float64, b.states)
	for range m.n {
		b.from = append(b.from, make([]int32, b.states))
	}
	b.digits, b.open = make([]int, len(tasks)), make([]float64, 1<<len(tasks))
	return b
}

// walk finds the cheapest ways, where minutes gives what a task pays by the minute
// and open what a set of the tasks pays for what it opens in a slot.
func (b *bundle) walk(spans [][]span, minutes func(t, s int) float64, open func(done, s int) float64, ways [][]int) float64 {
	m := b.m
	for i := range b.cost {
		b.cost[i] = noStep
	}
	b.cost[0] = 0
	for s := range m.n {
		for i := range b.next {
			b.next[i] = noStep
		}
		for done := range b.open {
			b.open[done] = open(done, s)
		}
		for j, t := range b.tasks {
			c, reach := &m.chains[t], b.reach[j]
			pay := minutes(t, s)
			for ago := range reach {
				b.do[j][ago], b.rest[j][ago] = noStep, 0
				i := s - ago
				if i < 0 {
					continue
				}
				if at := s + 1 - c.first[i]; at >= spans[t][i].from && at < spans[t][i].to {
					b.do[j][ago] = c.steps[i][at] + pay
				}
				if ago+1 == reach {
					b.rest[j][ago] = c.end[i]
				}
			}
			b.do[j][reach], b.rest[j][reach] = noStep, 0 // it is not done any more
		}
		b.advance(s)
		b.cost, b.next = b.next, b.cost
	}
	best, at := noStep, 0
	for state, x := range b.cost {
		if math.IsInf(x, 1) {
			continue
		}
		for j, t := range b.tasks {
			if ago := state / b.stride[j] % (b.reach[j] + 1); ago < b.reach[j] {
				x += m.chains[t].end[m.n-ago]
			}
		}
		if x < best {
			best, at = x, state
		}
	}
	if math.IsInf(best, 1) {
		return best
	}
	for _, t := range b.tasks {
		ways[t] = ways[t][:0]
	}
	for s := m.n - 1; s >= 0; s-- {
		from := b.from[s][at]
		for j, t := range b.tasks {
			if from>>j&1 == 1 {
				ways[t] = append(ways[t], s)
			}
		}
		at = int(from) >> len(b.tasks)
	}
	for _, t := range b.tasks {
		slices.Reverse(ways[t])
	}
	return best
}

// advance goes from all states over one slot.
func (b *bundle) advance(s int) {
	n := len(b.tasks)
	from := b.from[s]
	for state, here := range b.cost {
		if math.IsInf(here, 1) {
			continue
		}
		for j := range b.tasks {
			b.digits[j] = state / b.stride[j] % (b.reach[j] + 1)
		}
		for done := range b.open {
			x, to := here+b.open[done], 0
			for j, ago := range b.digits {
				if done>>j&1 == 1 {
					x += b.do[j][ago]
				} else {
					x += b.rest[j][ago]
					to += b.stride[j] * min(ago+1, b.reach[j])
				}
			}
			if x < b.next[to] {
				b.next[to], from[to] = x, int32(state<<n|done)
			}
		}
	}
}
