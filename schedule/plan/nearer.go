package plan

import "slices"

// nearEnough is what it may cost, in minutes, that a turn stands near its likely day and not
// weeks from it, where nothing but its later turns speaks against that: nobody would see why
// it stands so far away for less. Assumption.
const nearEnough = 5

// nearer moves turns nearer to their likely days that stand weeks from them for the sake of
// turns to come alone, if that costs next to nothing: the search finds the cheapest rhythm
// and does not see that another one is as cheap and plain to see.
func (s *search) nearer(r *Request) {
	d, m := s.d, s.m
	for _, t := range s.order {
		if m.held[t] || len(m.covers[t]) > 0 {
			continue // its late dates depend on others' turns, around which it was planned
		}
		c := &m.chains[t]
		events := r.events(d.ways[t], m.covers[t])
		for i := 0; i < len(events); i++ {
			if events[i].covered || i == 0 && r.Tasks[t].On != 0 {
				continue
			}
			node := 0
			if i > 0 {
				node = events[i-1].slot + 1
			}
			at, sunk := c.after(node), 0.0
			if i == 0 {
				sunk = at.turn(c.task, &r.Prices, 0).Harm
			}
			if why := r.standing(m, s, t, &at, events, i, sunk); why != SuitsLater && why != SharesLater {
				continue
			}
			slot, _ := r.nearest(m, s, t, at.due[LikelyQuantile], events, i)
			v, rest := r.moved(m, s, t, events, i, sunk, slot)
			k, _ := slices.BinarySearch(d.ways[t], node)
			way := append(slices.Clone(d.ways[t][:k]), rest...)
			runsOver := func(slot int) bool { return m.runsOver(r, slot) && !slices.Contains(d.ways[t], slot) }
			if v.sum() > nearEnough || c.along(way) == noStep || slices.ContainsFunc(way, runsOver) {
				continue
			}
			was := slices.Clone(d.ways[t])
			d.set(t, way)
			// What stays behind has one piece of work less for its waits, and may take longer so.
			tooLong := func(slot int) bool { return len(d.sets[slot]) > 0 && !m.holds(d.sets[slot], slot) }
			if slices.ContainsFunc(was, tooLong) {
				d.set(t, was)
				continue
			}
			events = r.events(d.ways[t], m.covers[t])
		}
	}
	s.cost = d.cost()
}
