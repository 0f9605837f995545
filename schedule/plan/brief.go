package plan

// What is brief is soon done and soon wanted again: past its likely date, it waits for no
// other sitting because the next one is full. That one lasts longer, by no more than what
// is brief takes.
const (
	// briefMinutes is how long a brief task takes at the most, and by how much a sitting
	// may run over its slot for such. Assumption.
	briefMinutes = 15
	// briefDays is within how many days a brief task comes again: to wait a week would be
	// a good share of its life. Assumption: a month.
	briefDays = 31
)

// isBrief tells whether a task is past its likely date, soon done, and comes again within
// a month.
func (r *Request) isBrief(i int) bool {
	t := &r.Tasks[i]
	if !t.isPast(r.Today) || t.On != 0 && !t.settled {
		return false
	}
	return t.Minutes() <= briefMinutes && t.comesAgain(r.Today) <= briefDays
}

// runsOver tells whether a set of tasks lasts longer than a slot's room for what is brief
// in it, and for nothing else.
func (r *Request) runsOver(m *model, set []int, room float64) bool {
	var rest []int
	for _, t := range set {
		if !r.isBrief(t) {
			rest = append(rest, t)
		}
	}
	if len(rest) == len(set) || len(rest) == 0 {
		return false
	}
	return m.clock.elapsed(rest) <= room+roomy && m.clock.elapsed(set) <= room+briefMinutes+roomy
}

// bring puts what is brief into the first sitting that it could be in but for its being
// full.
func (s *search) bring(r *Request) {
	d, m := s.d, s.m
	for _, t := range s.order {
		if !r.isBrief(t) || m.held[t] || len(m.fixed[t]) > 0 || len(m.covers[t]) > 0 {
			continue
		}
		first := m.n
		if len(d.ways[t]) > 0 {
			first = d.ways[t][0]
		}
		for slot := range first {
			if len(d.sets[slot]) == 0 || !r.Tasks[t].allows(r.date(slot)) {
				continue
			}
			if d.fits(t, slot) {
				break // the prices have it elsewhere
			}
			set := including(d.sets[slot], t)
			if !r.runsOver(m, set, min(m.room[slot], r.Slots[slot].Minutes)) {
				continue
			}
			m.room[slot] = m.clock.elapsed(set)
			m.onlyFirst(t, slot)
			d.refit(t)
			break
		}
	}
	s.cost = d.cost()
}

// overFor gives the ids of those tasks of a set for which a sitting runs over a slot's room:
// what is brief, and else what somebody's safety hangs on; none where it runs over for work
// that no slot could hold.
func (r *Request) overFor(m *model, set []int, slot int) (brief, safety []string) {
	room := r.Slots[slot].Minutes
	switch {
	case r.runsOver(m, set, room):
		return r.idsOf(set, r.isBrief), nil
	case r.runsOverSafely(m, set, max(room, m.usual[slot])):
		return nil, r.idsOf(set, r.isBriefSafety)
	}
	return nil, nil
}

// idsOf gives the ids of those tasks of a set of which something is true.
func (r *Request) idsOf(set []int, which func(t int) bool) []string {
	var ids []string
	for _, t := range set {
		if which(t) {
			ids = append(ids, r.Tasks[t].ID)
		}
	}
	return ids
}
