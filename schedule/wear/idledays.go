package wear

import (
	"math"
	"slices"

	"limekeep/schedule/record"
)

// idleDays is how many of the days since the first knot nobody was there to use a part
// at all, by knot: those of times away that were written down. They say nothing of the
// days outside them, so that how long a part lasts in use leaves them out. Nil for none.
type idleDays []float64

// idle returns the idle days of a duty's part: those on which all machines are left
// alone that it lives by.
func (r *run) idle(d *dutyRun) idleDays {
	machines := r.machinesOf(d)
	away := func(on record.Date) bool {
		return !slices.ContainsFunc(machines, func(m *machineRun) bool {
			return m.timeline.On(on).Shots > 0 || !slices.ContainsFunc(r.house.Absences[m.ID], func(a Absence) bool {
				return a.From <= on && (a.To.IsZero() || on <= a.To)
			})
		})
	}
	if !slices.ContainsFunc(machines, func(m *machineRun) bool { return len(r.house.Absences[m.ID]) > 0 }) {
		return nil
	}
	idle := make(idleDays, len(r.grid.knots))
	for i := range r.grid.steps() {
		idle[i+1] = idle[i]
		for on := r.grid.knots[i] + 1; on <= r.grid.knots[i+1]; on++ {
			if away(on) {
				idle[i+1]++
			}
		}
	}
	return idle
}

// machinesOf returns the machines by whose use a duty's part lives; none for tools.
func (r *run) machinesOf(d *dutyRun) []*machineRun {
	if d.line != nil {
		return d.line.machines
	}
	for _, g := range r.grinders {
		if g.ID == d.Equipment.ID {
			return g.serves
		}
	}
	for _, m := range r.machines {
		if m.ID == d.Equipment.ID {
			return []*machineRun{m}
		}
	}
	return nil
}

// between returns the idle days from one knot to a later one.
func (i idleDays) between(knot, to int) float64 {
	if i == nil {
		return 0
	}
	return i[to] - i[knot]
}

// until returns the idle days from a knot to so many days later; those of a step lie
// evenly in it, as all within a step does.
func (i idleDays) until(knot int, days float64, g grid) float64 {
	on := g.knots[knot] + record.Date(math.Ceil(days))
	to := g.at(on)
	if i == nil || to <= knot {
		return 0
	}
	share := (float64(g.knots[knot]-g.knots[to-1]) + days) / g.days(to-1)
	return i.between(knot, to-1) + share*i.between(to-1, to)
}
