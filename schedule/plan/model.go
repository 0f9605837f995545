package plan

import (
	"cmp"
	"math"
	"slices"

	"limekeep/schedule/record"
)

// Request is what a plan is asked for.
type Request struct {
	Today  record.Date
	Until  record.Date // end of the plan; the day after the last slot at the earliest
	Slots  []Slot      // in order, none blocked, none before today
	Tasks  []Task
	Prices Prices
	Effort int // how many steps of chains the search may look at; usual where 0
}

// UsualEffort plans a household in a few hundredths of a second. Where there are
// more tasks or slots, the search may look at every way usualLooks times.
const (
	UsualEffort = 12_000_000
	usualLooks  = 120
)

// model is a request in numbers. A kind is what tasks of a sitting share: kind
// 0 is the sitting itself, the others are states.
type model struct {
	n       int // slots
	chains  []chain
	minutes []float64 // by task
	kinds   [][]int   // by task: the kinds it needs
	price   []float64 // by kind
	members [][]int   // by kind: the tasks that need it
	member  [][]int   // by task and place in kinds: its place in members
	room    []float64 // by slot, minutes
	looked  int       // steps looked at so far
	effort  int
}

// newModel puts a request in numbers. Work longer than every slot still must
// stand somewhere: it fills a slot of the longest.
func newModel(r *Request) *model {
	m := &model{n: len(r.Slots), effort: r.Effort}
	days := make([]float64, m.n)
	longest := 0.0
	for i, s := range r.Slots {
		days[i] = float64(s.Date() - r.Today)
		m.room = append(m.room, s.Minutes)
		longest = max(longest, s.Minutes)
	}
	until := float64(r.Until - r.Today)
	if m.n > 0 {
		until = max(until, days[m.n-1]+1)
	}
	m.addKinds(r)
	fixed := make([]float64, m.n)
	for i := range r.Tasks {
		t := &r.Tasks[i]
		m.chains = append(m.chains, r.newChain(t, days, until))
		m.minutes = append(m.minutes, min(t.Minutes, longest))
		if t.On != 0 {
			s := slices.IndexFunc(r.Slots, func(s Slot) bool { return s.Date() == t.On })
			fixed[s] += m.minutes[i]
		}
	}
	for s := range m.room {
		m.room[s] = max(m.room[s], fixed[s])
	}
	if m.effort == 0 {
		steps := 0
		for _, c := range m.chains {
			for _, row := range c.steps {
				steps += len(row)
			}
		}
		m.effort = max(UsualEffort, usualLooks*steps)
	}
	return m
}

// addKinds numbers the states that tasks share.
func (m *model) addKinds(r *Request) {
	var states []State
	for _, t := range r.Tasks {
		states = append(states, t.States...)
	}
	slices.SortFunc(states, func(a, b State) int { return cmp.Or(cmp.Compare(a.Of, b.Of), cmp.Compare(a.Name, b.Name)) })
	states = slices.Compact(states)
	states = slices.DeleteFunc(states, func(s State) bool { return r.Prices.state(s.Name) == 0 })
	m.price = []float64{r.Prices.Sitting}
	m.members = make([][]int, 1+len(states))
	for _, s := range states {
		m.price = append(m.price, r.Prices.state(s.Name))
	}
	for i, t := range r.Tasks {
		kinds := []int{0}
		for k, s := range states {
			if slices.Contains(t.States, s) {
				kinds = append(kinds, k+1)
			}
		}
		places := make([]int, len(kinds))
		for j, k := range kinds {
			places[j] = len(m.members[k])
			m.members[k] = append(m.members[k], i)
		}
		m.kinds, m.member = append(m.kinds, kinds), append(m.member, places)
	}
}

// walker finds the cheapest way through one chain after another, in memory
// that is used again.
type walker struct {
	cost []float64
	from []int
}

func newWalker(n int) *walker {
	return &walker{cost: make([]float64, n+2), from: make([]int, n+2)}
}

// walk gives the cheapest way through a chain where each slot costs what tolls
// say on top, and its price. The slots of the way are added to way, in order.
func (m *model) walk(w *walker, c *chain, tolls []float64, way []int) (float64, []int) {
	n := c.n
	cost, from := w.cost, w.from
	for i := range cost {
		cost[i] = noStep
	}
	cost[0] = 0
	end, endFrom := noStep, 0
	for i := 0; i <= n; i++ {
		here := cost[i]
		if i > 0 {
			here += tolls[i-1]
			cost[i] = here
		}
		if here >= end {
			continue // to let it be is cheaper already; steps cost nothing below zero
		}
		row := c.steps[i]
		to := c.first[i]
		m.looked += len(row)
		reached, by := cost[to:to+len(row)], from[to:to+len(row)]
		for j, step := range row {
			if x := here + step; x < reached[j] {
				reached[j], by[j] = x, i
			}
		}
		if x := here + c.end[i]; x < end {
			end, endFrom = x, i
		}
	}
	if math.IsInf(end, 1) {
		return end, way
	}
	at := len(way)
	for i := endFrom; i > 0; i = from[i] {
		way = append(way, i-1)
	}
	slices.Reverse(way[at:])
	return end, way
}

// along gives the price of a way through a chain without what is shared.
func (c *chain) along(way []int) float64 {
	sum, at := 0.0, 0
	for _, s := range way {
		i := s + 1 - c.first[at]
		if i >= len(c.steps[at]) {
			return noStep
		}
		sum += c.steps[at][i]
		at = s + 1
	}
	return sum + c.end[at]
}

// strained gives what of the price of a way is for days past late dates.
func (c *chain) strained(way []int) float64 {
	sum, at := 0.0, 0
	for _, s := range way {
		if i := s + 1 - c.first[at]; i < len(c.past[at]) {
			sum += c.past[at][i]
		}
		at = s + 1
	}
	return sum + c.strain[at]
}
