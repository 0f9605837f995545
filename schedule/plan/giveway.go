package plan

import (
	"cmp"
	"math"
	"slices"
)

// giveWay sees that small things give way to big ones: where the next turn of a
// task has no place, or comes late, and lighter work fills a slot that would do,
// the lighter work goes out of it and looks for another place. The prices make
// this rare; here it becomes a rule. What weighs less is of a lower rank, or of
// the same and less harmful a day; it gives way only where it is shorter as well.
func (s *search) giveWay(r *Request) {
	order := slices.Clone(s.order)
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(r.Tasks[b].Rank, r.Tasks[a].Rank), cmp.Compare(r.Tasks[b].weight(), r.Tasks[a].weight()))
	})
	for _, t := range order {
		slot, out, ok := s.wayFor(r, t)
		if !ok {
			continue
		}
		d := s.d
		for _, o := range out {
			d.set(o, without(d.ways[o], slot))
		}
		d.set(t, []int{slot})
		s.m.onlyFirst(t, slot)
		d.refit(t)
		for _, o := range out {
			d.refit(o)
		}
		s.d.settle(s.order)
	}
	s.cost = s.d.cost()
}

// wayFor finds the first slot that would do for a task if lighter work left it,
// and that work; false where it needs none.
func (s *search) wayFor(r *Request, t int) (int, []int, bool) {
	d, task := s.d, &r.Tasks[t]
	if s.m.held[t] || len(s.m.fixed[t]) > 0 || len(s.m.covers[t]) > 0 {
		return 0, nil, false
	}
	life := task.start(r.Today)
	first, last := s.m.n, life.late
	if len(d.ways[t]) > 0 {
		first = d.ways[t][0]
	} else if life.due[LikelyQuantile] < float64(r.Until-r.Today) {
		last = math.Inf(1) // it has no place: any is better
	}
	if last < 0 {
		last = math.Inf(1)
	}
	if first < s.m.n && float64(r.date(first)-r.Today) <= life.late || first == s.m.n && !(life.due[LikelyQuantile] < float64(r.Until-r.Today)) {
		return 0, nil, false
	}
	for slot := range first {
		day := r.date(slot)
		if float64(day-r.Today) > last || !task.allows(day) || math.IsInf(s.m.chains[t].along([]int{slot}), 1) {
			continue
		}
		if out, ok := s.outFor(r, t, slot); ok {
			return slot, out, true
		}
	}
	return 0, nil, false
}

// outFor gives the work that must leave a slot for a task to fit, the lightest
// first; false where what may leave is not enough.
func (s *search) outFor(r *Request, t, slot int) ([]int, bool) {
	task := &r.Tasks[t]
	var light []int
	for _, o := range s.d.sets[slot] {
		other := &r.Tasks[o]
		lighter := other.Rank < task.Rank || other.Rank == task.Rank && other.weight() < task.weight()
		if lighter && other.Minutes() < task.Minutes() && !s.m.isFixed(o, slot) {
			light = append(light, o)
		}
	}
	slices.SortStableFunc(light, func(a, b int) int {
		return cmp.Or(cmp.Compare(r.Tasks[a].Rank, r.Tasks[b].Rank), cmp.Compare(r.Tasks[a].weight(), r.Tasks[b].weight()))
	})
	set := slices.Clone(s.d.sets[slot])
	at, _ := slices.BinarySearch(set, t)
	set = slices.Insert(set, at, t)
	for n := 0; ; n++ {
		if s.m.holds(set, slot) {
			return light[:n], true
		}
		if n == len(light) {
			return nil, false
		}
		set = without(set, light[n])
	}
}

// onlyFirst leaves a task no other slot for its next turn. Its chain is another model's as
// well, and stays as it is for that.
func (m *model) onlyFirst(t, slot int) {
	c := &m.chains[t]
	c.end, c.steps = slices.Clone(c.end), slices.Clone(c.steps)
	c.steps[0] = slices.Clone(c.steps[0])
	for j := range c.steps[0] {
		if c.first[0]+j-1 != slot {
			c.steps[0][j] = noStep
		}
	}
	c.end[0] = noStep
}

// without gives a list without one of its elements.
func without(list []int, x int) []int {
	return slices.DeleteFunc(slices.Clone(list), func(y int) bool { return y == x })
}
