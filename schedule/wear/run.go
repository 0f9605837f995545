package wear

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// run is one forecast under way: the household as parts that know one another,
// with all that its worlds share.
type run struct {
	ctx      context.Context // of the one call that the run is made for
	house    *Household
	span     span
	grid     grid
	machines []*machineRun
	grinders []*grinderRun
	lines    []*lineRun
	tools    []*toolsRun
	duties   []*dutyRun // in the order of the household's
	slots    int        // how many parts have an exposure of their own
	vessels  int        // how many of them are vessels
	depth    depth      // how much of a world is played
	scaled   []int      // by vessel: the knot from which on it is asked what was laid down there; from the first where nil
	before   unchanged  // what the last forecast said
	after    unchanged  // what this one says
	given    []byte     // tells what its worlds are played from and no part of the run changes; nil until it is asked for
}

func newRun(ctx context.Context, h *Household) (*run, error) {
	r := &run{ctx: ctx, house: h, before: h.Memory.last(), after: newUnchanged(), span: span{first: h.Today, today: h.Today, last: h.Today.AddMonths(12 * HorizonYears)}}
	matter := append([]record.Date{h.Today + 7*weeksAhead}, h.Again...)
	for _, duty := range h.Duties {
		d := newDutyRun(duty, h)
		d.index = len(r.duties)
		r.duties = append(r.duties, d)
		from := d.since()
		if d.finds() || d.stage != nil || d.unknown() {
			from = d.begins() // findings and cartridges need the whole story
		}
		r.span.first = min(r.span.first, from)
		matter = append(matter, duty.Since, duty.Fitted, d.Past.Until)
		for _, service := range d.services {
			matter = append(matter, service.On)
		}
	}
	r.grid = newGrid(r.span, matter)
	for _, on := range h.Again {
		r.grid.again = append(r.grid.again, r.grid.at(on))
	}
	for _, e := range h.Equipment {
		if err := r.add(e); err != nil {
			return nil, fmt.Errorf("%s: %w", e.ID, err)
		}
		if err := r.stopped(); err != nil {
			return nil, err
		}
	}
	if err := r.link(); err != nil {
		return nil, err
	}
	for _, d := range r.duties {
		if err := d.build(h.Draws, nil); err != nil {
			return nil, err
		}
		d.refresh(r)
		if err := r.stopped(); err != nil {
			return nil, err
		}
	}
	r.scaled = r.scaleAsked()
	return r, nil
}

// scaleAsked tells of each vessel from which knot on duties ask what was laid down there:
// the service that they start from, whatever lies before it.
func (r *run) scaleAsked() []int {
	if r.house.Courses {
		return nil // pictures show the past as well
	}
	asked := slices.Repeat([]int{len(r.grid.knots) - 1}, r.vessels)
	for _, d := range r.duties {
		if d.vessel == nil || !d.Has(care.Deposited) {
			continue
		}
		from := &asked[d.vessel.index]
		if *from = min(*from, r.grid.at(d.since())); d.unknown() {
			*from = 0
		}
	}
	return asked
}

// scaledFrom is the knot from which on it is asked what was laid down in a vessel.
func (r *run) scaledFrom(v *vesselRun) int {
	if r.scaled == nil {
		return 0
	}
	return r.scaled[v.index]
}

// stopped returns why the run is to stop; nil while it may go on.
func (r *run) stopped() error { return context.Cause(r.ctx) }

// slot returns the place of one more part in a world's state.
func (r *run) slot() int {
	r.slots++
	return r.slots - 1
}

// add works out what a piece of equipment brings to every world.
func (r *run) add(e record.Equipment) error {
	draws := r.house.Draws
	switch {
	case e.Machine != nil:
		course, ok := r.house.Timelines[e.ID]
		if !ok {
			return fmt.Errorf("its use was not worked out")
		}
		m := &machineRun{Equipment: e, index: len(r.machines), slot: r.slot(), timeline: course, use: newUseWorlds(draws, e.ID, course, r.span, r.grid)}
		for _, vessel := range e.Machine.Vessels {
			v := &vesselRun{Vessel: vessel, machine: m, index: r.vessels, slot: r.slot()}
			r.vessels++
			var err error
			if v.shape, err = shapeOf(vessel, e.Machine.Setting); err != nil {
				return err
			}
			v.converted = v.convertedShares(draws)
			m.vessels = append(m.vessels, v)
		}
		r.machines = append(r.machines, m)
	case e.Grinder != nil:
		r.grinders = append(r.grinders, &grinderRun{Equipment: e, slot: r.slot()})
	case e.Line != nil:
		water, err := newLineWater(draws, r.house.earlier(), e, r.house.Lines[e.ID], r.house.Tests[e.ID], r.span, r.grid)
		if err != nil {
			return err
		}
		r.lines = append(r.lines, &lineRun{Equipment: e, index: len(r.lines), slot: r.slot(), water: water})
	case e.Tools != nil:
		r.tools = append(r.tools, &toolsRun{Equipment: e, slot: r.slot()})
	}
	return nil
}

// link makes the parts know one another: what a machine's water is, what a
// grinder serves, what a duty is for.
func (r *run) link() error {
	for _, m := range r.machines {
		if err := m.link(r); err != nil {
			return fmt.Errorf("%s: %w", m.ID, err)
		}
	}
	for _, g := range r.grinders {
		for _, id := range g.Grinder.Serves {
			if i := slices.IndexFunc(r.machines, func(m *machineRun) bool { return m.ID == id }); i >= 0 {
				g.serves = append(g.serves, r.machines[i])
			}
		}
	}
	for _, m := range r.machines {
		m.grinding = r.grindingOf(m)
	}
	for _, d := range r.duties {
		if err := d.link(r); err != nil {
			return fmt.Errorf("%s: %w", d.ID, err)
		}
	}
	for _, d := range r.duties {
		if d.past != nil {
			d.past.idle = r.idle(d)
		}
	}
	for _, l := range r.lines {
		l.listExchangers(r.house, r.duties)
	}
	return nil
}

// link finds a machine's line, and works out what its water does in the
// machine's steam boilers.
func (m *machineRun) link(r *run) error {
	i := slices.IndexFunc(r.lines, func(l *lineRun) bool { return l.ID == m.Machine.Line })
	switch {
	case i >= 0:
		m.line = r.lines[i]
		m.line.machines = append(m.line.machines, m)
	case len(m.vessels) > 0:
		return fmt.Errorf("its water line %q is not at the place", m.Machine.Line)
	}
	first := true
	for _, v := range m.vessels {
		if v.Kind != record.SteamBoiler {
			v.firstOfBrew, first = first, false
			continue
		}
		var err error
		if v.boiler, err = newSteamWater(r, v); err != nil {
			return err
		}
	}
	return nil
}

// worlds plays the first worlds, so many, each on one of as many workers as there are
// processors, or as the household allows. What a world gives depends on its number alone. It stops between two
// worlds once the run is to stop.
func (r *run) worlds(count int, do func(w *worldState, world int)) error {
	workers := min(runtime.GOMAXPROCS(0), count)
	if r.house.Workers > 0 {
		workers = min(workers, r.house.Workers)
	}
	var wait sync.WaitGroup
	for i := range workers {
		wait.Go(func() {
			w := r.newWorldState()
			// Neighbours, so that two workers seldom write to one line of memory.
			for world := i * count / workers; world < (i+1)*count/workers && r.ctx.Err() == nil; world++ {
				r.play(w, world)
				do(w, world)
			}
		})
	}
	wait.Wait()
	return r.stopped()
}

// those returns the duties that something is true of.
func (r *run) those(keep func(*dutyRun) bool) []*dutyRun {
	return slices.DeleteFunc(slices.Clone(r.duties), func(d *dutyRun) bool { return !keep(d) })
}
