package plan

import "slices"

// heal sees that no turn lies past its late date while a slot with room lies
// before it: it adds a turn in the last such slot. The search pays so much for
// a day past a late date that there is hardly ever anything to heal; this makes
// it a rule.
func (d *draft) heal(r *Request, order []int) {
	for _, t := range order {
		if d.m.held[t] && d.m.last || len(d.m.covers[t]) > 0 {
			continue // its late dates depend on others' turns, around which it was planned
		}
		// Each round fills a slot that the task did not use.
		for range d.m.n {
			slot, ok := d.saves(r, t)
			if !ok {
				break
			}
			if !d.give(t, slot) {
				break
			}
		}
	}
}

// give gives a task one turn more, and reports whether its chain has such a way: one that was
// held to another is held to this.
func (d *draft) give(t, slot int) bool {
	way := append(slices.Clone(d.ways[t]), slot)
	slices.Sort(way)
	c := &d.m.chains[t]
	if d.m.held[t] {
		c = &d.m.free[t]
	}
	if c.along(way) == noStep {
		return false
	}
	if d.m.held[t] {
		d.m.fix(t, way)
	}
	d.set(t, way)
	return true
}

// saves finds the last slot with room in which a turn would keep a task's late
// date; false where there is none, or none is needed.
func (d *draft) saves(r *Request, t int) (int, bool) {
	task := &r.Tasks[t]
	from := -1
	for i := 0; i <= len(d.ways[t]); i++ {
		late := r.lateAfter(task, from)
		to := d.m.n
		day := float64(r.Until - r.Today)
		if i < len(d.ways[t]) {
			to = d.ways[t][i]
			day = float64(r.date(to) - r.Today)
		}
		if day > late {
			for s := to - 1; s > from; s-- {
				if float64(r.date(s)-r.Today) <= late && d.fitsSlot(r, t, s) && (from >= 0 || task.allows(r.date(s))) {
					return s, true
				}
			}
		}
		from = to
	}
	return 0, false
}

// lateAfter gives the late date, in days from today, after a turn in a slot; of
// the part as it stands where the slot is -1.
func (r *Request) lateAfter(t *Task, slot int) float64 {
	if slot < 0 {
		return t.start(r.Today).late
	}
	return t.fresh(r.date(slot), r.Today).late
}

// fitsSlot tells whether a task that is not in a slot has room there while the sitting does
// not run over: where it does, that is for others.
func (d *draft) fitsSlot(r *Request, t, slot int) bool {
	return d.fits(t, slot) && !d.m.runsOver(r, slot)
}

// runsOver tells whether there is more room in a slot than the owner gives it, for what was put
// there all the same.
func (m *model) runsOver(r *Request, slot int) bool {
	return m.room[slot] > r.Slots[slot].Minutes+roomy
}

// fits tells whether a task that is not in a slot has room there. What is fixed
// there always has.
func (d *draft) fits(t, slot int) bool {
	m := d.m
	if m.isFixed(t, slot) {
		return true
	}
	set := d.sets[slot]
	if len(set) > 0 && d.load[slot]+m.minutes[t] > m.room[slot]+roomy {
		return false
	}
	if m.heating+d.full[slot]+m.whole[t] <= m.room[slot]+roomy {
		return true // one after another, as holds has it
	}
	at := len(set)
	for i, o := range set {
		if o > t {
			at = i
			break
		}
	}
	d.set0 = append(append(append(d.set0[:0], set[:at]...), t), set[at:]...)
	return m.holds(d.set0, slot)
}
