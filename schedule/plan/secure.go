package plan

import "slices"

// What somebody's safety hangs on and is done within half an hour is never without a place,
// or late, for want of room: a sitting runs over for it, also one that is longer than usual
// already.
const (
	// safetyMinutes is how long such a task takes at the most. Assumption.
	safetyMinutes = 30
	// safetyHeats is how much longer than by its minutes a sitting may last for it, since a
	// machine must be brought to another temper as well. Assumption.
	safetyHeats = 30
)

// isBriefSafety tells whether somebody's safety hangs on a task that is soon done.
func (r *Request) isBriefSafety(i int) bool {
	t := &r.Tasks[i]
	return t.Rank == Safety && t.Minutes() <= safetyMinutes && (t.On == 0 || t.settled)
}

// runsOverSafely tells whether a set of tasks lasts longer than a slot's room for what
// somebody's safety hangs on, and for nothing else but one task that takes as long by itself.
func (r *Request) runsOverSafely(m *model, set []int, room float64) bool {
	var rest []int
	over := float64(safetyHeats)
	for _, t := range set {
		if r.isBriefSafety(t) {
			over += m.whole[t]
		} else {
			rest = append(rest, t)
		}
	}
	if len(rest) == len(set) {
		return false
	}
	alone := m.clock.elapsed(rest)
	asLong := func(t int) bool { return m.clock.elapsed([]int{t}) >= alone-roomy } // others lie in its waits
	if alone > room+roomy && !slices.ContainsFunc(rest, asLong) && !r.runsOver(m, rest, room) {
		return false
	}
	return m.clock.elapsed(set) <= max(room, alone)+over+roomy
}

// secure puts what somebody's safety hangs on, and is soon done, into sittings that are full,
// where its turns would have no place or come late for want of room.
func (s *search) secure(r *Request) {
	d, m := s.d, s.m
	m.usual = slices.Clone(m.room)
	for _, t := range s.order {
		if !r.isBriefSafety(t) || m.held[t] && m.last {
			continue
		}
		for range m.n { // each round adds a turn in a slot that the task did not use
			slot, ok := s.securedBy(r, t)
			if !ok {
				break
			}
			lasts := m.clock.elapsed(including(d.sets[slot], t))
			if !d.give(t, slot) {
				break // its next turn was given another place
			}
			m.room[slot] = max(m.room[slot], lasts)
		}
		d.refit(t)
	}
	s.cost = d.cost()
}

// securedBy finds a slot whose sitting would run over for the first turn of a task that comes
// late or has no place: the last one before its late date, or else the first one after; false
// where there is none, or none is needed.
func (s *search) securedBy(r *Request, t int) (int, bool) {
	d, m, task := s.d, s.m, &r.Tasks[t]
	events, from := r.events(d.ways[t], m.covers[t]), -1
	for i := 0; i <= len(events); i++ {
		late, to, day := r.lateAfter(task, from), m.n, float64(r.Until-r.Today)
		if i < len(events) {
			to = events[i].slot
			day = r.dayOf(to)
		}
		missing := to == m.n && i == 0 && task.dueWithin(r)
		if day > late || missing {
			if slot, ok := s.runningOver(r, t, from+1, to, late); ok {
				return slot, true
			}
		}
		from = to
	}
	return 0, false
}

// runningOver finds a slot, from one up to another, that a task may be put into: the last one
// before its late date, or else the first one after.
func (s *search) runningOver(r *Request, t, from, to int, late float64) (int, bool) {
	best := -1
	for slot := from; slot < to; slot++ {
		set := including(s.d.sets[slot], t)
		if from == 0 && !r.Tasks[t].allows(r.date(slot)) || !s.m.holds(set, slot) && !r.runsOverSafely(s.m, set, max(r.Slots[slot].Minutes, s.m.usual[slot])) {
			continue
		}
		if r.dayOf(slot) > late {
			if best < 0 {
				best = slot
			}
			break
		}
		best = slot
	}
	return best, best >= 0
}
