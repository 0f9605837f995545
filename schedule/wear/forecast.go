package wear

import (
	"context"
	"fmt"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
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
	if err := r.cross(cartridges); err != nil {
		return nil, err
	}
	for _, d := range cartridges {
		d.planChanges(r.span, h.Planned[d.ID])
	}
	// Then the refreshing of steam boilers, which decides what concentrates there.
	refreshing := r.those((*dutyRun).refreshes)
	r.flowsOnly = true
	if err := r.cross(refreshing); err != nil {
		return nil, err
	}
	r.flowsOnly = false
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
	return outcomes, nil
}

// cross plays all worlds and works out the outcomes of some duties.
func (r *run) cross(duties []*dutyRun) error {
	if len(duties) == 0 {
		return nil
	}
	results := make([][]crossing, len(duties)) // by duty, then world
	courses := make([]*coursing, len(duties))
	for i, d := range duties {
		if r.house.Courses {
			courses[i] = r.courseOf(d)
		}
		d.expectations = d.expects()
		results[i] = newCrossings(r.house.Draws.Worlds, len(d.gauges), len(d.expectations)*len(expectedDays))
	}
	err := r.worlds(func(w *worldState, world int) {
		for i, d := range duties {
			r.crossOne(&results[i][world], w, d, world)
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
		err = r.stopped()
	}
	return err
}

// outcomeOf gathers what all worlds say of a duty.
func (r *run) outcomeOf(d *dutyRun, worlds []crossing) Outcome {
	o := Outcome{Duty: d.Duty, Since: d.last(), Served: d.served(), Learned: d.learned}
	due := datesOf(worlds, func(c crossing) record.Date { return c.due })
	o.Window, o.Due = newWindow(due), newQuantiles(due)
	var some []crossing
	for w, c := range worlds {
		if w%r.againEvery() == 0 {
			some = append(some, c)
		}
	}
	for i := range r.house.Again {
		o.Again = append(o.Again, newQuantiles(datesOf(some, func(c crossing) record.Date { return c.again[i] })))
	}
	o.Checked = d.measuredSince()
	if d.unknown() {
		o.Past = d.pastOutcome(worlds)
	}
	for k, g := range d.gauges {
		of := func(field func(crossing) []float64) figure.Percentiles {
			return figure.Over(valuesOf(worlds, func(c crossing) float64 { return field(c)[k] }))
		}
		o.Gauges = append(o.Gauges, GaugeOutcome{
			Gauge:     g.bound,
			Reading:   of(func(c crossing) []float64 { return c.reading }),
			Amount:    of(func(c crossing) []float64 { return c.amount }),
			Fresh:     of(func(c crossing) []float64 { return c.fresh }),
			PerWeek:   of(func(c crossing) []float64 { return c.perWeek }).Likely,
			Condition: g.condition,
			Window:    newWindow(datesOf(worlds, func(c crossing) record.Date { return c.gauges[k] })),
		})
	}
	if d.vessel != nil && d.Has(care.Deposited) {
		o.Scale = r.vesselScale(d, worlds)
	}
	o.Expected = r.expected(d, worlds)
	return o
}

func datesOf(worlds []crossing, of func(crossing) record.Date) []record.Date {
	dates := make([]record.Date, len(worlds))
	for i, c := range worlds {
		dates[i] = of(c)
	}
	return dates
}

func valuesOf(worlds []crossing, of func(crossing) float64) []float64 {
	values := make([]float64, len(worlds))
	for i, c := range worlds {
		values[i] = of(c)
	}
	return values
}
