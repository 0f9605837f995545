package wear

import (
	"context"
	"fmt"
	"slices"

	"limekeep/schedule/care"
	"limekeep/water/figure"
)

// Forecast works out every duty of a household: how worn its gauges are today,
// and the window in which it falls due. The outcomes stand in the order of the
// duties. The same household gives the same outcomes to the bit, whatever the
// number of processors. It stops soon after the context ends, with its cause.
func Forecast(ctx context.Context, h *Household) ([]Outcome, error) {
	if h.Draws.Worlds < 1 {
		return nil, fmt.Errorf("a forecast needs at least one world, not %d", h.Draws.Worlds)
	}
	r, err := newRun(ctx, h)
	if err != nil {
		return nil, err
	}
	if err := r.learn(); err != nil {
		return nil, err
	}
	// Cartridges come first: the days on which they will be changed decide what
	// water the vessels get from then on.
	cartridges := r.those(func(d *dutyRun) bool { return d.stage != nil })
	r.depth = untilLines
	if err := r.cross(cartridges); err != nil {
		return nil, err
	}
	for _, d := range cartridges {
		d.planChanges(r.span, h.Planned[d.ID])
	}
	// Then the refreshing of steam boilers, which decides what concentrates there.
	refreshing := r.those((*dutyRun).refreshes)
	r.depth = steamersOnly
	if err := r.cross(refreshing); err != nil {
		return nil, err
	}
	r.depth = wholeWorld
	for _, d := range refreshing {
		d.planChanges(r.span, h.Planned[d.ID])
		d.refresh(r)
	}
	if err := r.cross(r.those(func(d *dutyRun) bool { return d.stage == nil && !d.refreshes() && len(d.gauges) > 0 })); err != nil {
		return nil, err
	}
	outcomes := make([]Outcome, 0, len(h.Duties))
	for _, d := range r.duties {
		if d.Task.TestsBehind() {
			d.nearEnd(r, cartridges)
		}
		if d.doubt != nil {
			d.outcome = r.doubt(d)
		}
		if d.absent != nil {
			d.outcome = r.absence(d)
		}
		outcomes = append(outcomes, d.outcome)
	}
	h.Memory.keep(r.after)
	return outcomes, nil
}

// cross plays all worlds and works out the outcomes of some duties, those that are as
// they were left out.
func (r *run) cross(duties []*dutyRun) error {
	duties, keys := r.unknownYet(duties)
	if len(duties) == 0 {
		return nil
	}
	if r.depth == wholeWorld && !slices.ContainsFunc(duties, (*dutyRun).watered) {
		defer func() { r.depth = wholeWorld }()
		r.depth = useOnly
	}
	results := make([]*crossings, len(duties))
	courses := make([]*coursing, len(duties))
	for i, d := range duties {
		if r.house.Courses {
			courses[i] = r.courseOf(d)
		}
		d.expectations = d.expects()
		results[i] = r.newCrossings(d)
	}
	err := r.worlds(r.house.Draws.Worlds, func(w *worldState, world int) {
		for i, d := range duties {
			r.crossOne(results[i], w, d, world)
			if r.house.Courses && world%r.againEvery() == 0 {
				courses[i].look(w, d, world, world/r.againEvery())
			}
		}
	})
	for i, d := range duties {
		if err != nil {
			break
		}
		d.outcome = r.outcomeOf(d, results[i])
		if r.house.Courses {
			for k := range d.outcome.Gauges {
				d.outcome.Gauges[k].Course = courses[i].points(r, k)
			}
		}
		if r.house.Memory != nil {
			r.after.outcomes[keys[i]] = d.outcome.ofOwn()
		}
		err = r.stopped()
	}
	return err
}

// outcomeOf gathers what all worlds say of a duty.
func (r *run) outcomeOf(d *dutyRun, c *crossings) Outcome {
	o := Outcome{Duty: d.Duty, Since: d.last(), Served: d.served(), Learned: d.learned}
	o.Window, o.Due = windowAndQuantiles(slices.Clone(c.due), r.span.last)
	for _, due := range c.again {
		_, again := windowAndQuantiles(due, r.span.last)
		o.Again = append(o.Again, again)
	}
	o.Checked = d.measuredSince()
	if d.unknown() {
		o.Past = d.pastOutcome(r.span, c)
	}
	if d.vessel != nil && d.Has(care.Deposited) {
		o.Scale = r.vesselScale(d, c)
	}
	for _, g := range r.grinders {
		if g.ID == d.Equipment.ID && slices.ContainsFunc(d.Gauges, ground) {
			o.Grinding = g.shared(r)
		}
	}
	for k, g := range d.gauges {
		says := &c.gauges[k]
		o.Gauges = append(o.Gauges, GaugeOutcome{
			Gauge:     g.bound,
			Reading:   figure.OverInPlace(says.reading),
			Amount:    figure.OverInPlace(says.amount),
			Fresh:     figure.OverInPlace(says.fresh),
			PerWeek:   figure.OverInPlace(says.perWeek).Likely,
			Condition: g.condition,
			Window:    newWindow(says.due, r.span.last),
		})
	}
	o.Expected = r.expected(d, c)
	return o
}
