package wear

import (
	"fmt"
	"runtime"
	"slices"
	"sync"

	"limekeep/schedule/record"
)

// run is one forecast under way.
type run struct {
	house       *Household
	span        span
	grid        grid
	subjects    []*subject
	waters      map[string]*LineWater
	uses        map[string]*useWorlds
	shapes      map[string]vesselShape // by machine/vessel
	conversions map[string][]float64   // by machine/vessel, one a world
	boilers     map[string]*steamWater // by machine/vessel
	exchangers  map[string][]exchanger // by line
	gathering   bool                   // whether only what steam boilers gather is played
}

// Forecast works out every duty of a household: how worn its gauges are today,
// and the window in which it falls due. The outcomes stand in the order of the
// duties. The same household gives the same outcomes to the bit, whatever the
// number of processors.
func Forecast(h *Household) ([]Outcome, error) {
	if h.Draws.Worlds < 1 {
		return nil, fmt.Errorf("a forecast needs at least one world, not %d", h.Draws.Worlds)
	}
	r, err := newRun(h)
	if err != nil {
		return nil, err
	}
	if err := r.teach(); err != nil {
		return nil, err
	}
	// Cartridges come first: the days on which they will be changed decide what
	// water the vessels get from then on.
	cartridges := r.those(func(s *subject) bool { return s.stage != nil })
	outcomes := map[string]Outcome{}
	r.cross(cartridges, outcomes)
	for _, s := range cartridges {
		s.planChanges(r.span, h.Planned[s.duty.ID], outcomes[s.duty.ID].Window.Likely)
	}
	// Then the refreshing of steam boilers, which decides what concentrates there.
	refreshing := r.those((*subject).refreshes)
	r.gathering = true
	r.cross(refreshing, outcomes)
	r.gathering = false
	for _, s := range refreshing {
		s.planChanges(r.span, h.Planned[s.duty.ID], outcomes[s.duty.ID].Window.Likely)
		r.refresh(s)
	}
	r.cross(r.those(func(s *subject) bool { return s.stage == nil && !s.refreshes() && len(s.gauges) > 0 }), outcomes)
	for _, s := range r.those(func(s *subject) bool { return s.doubt != nil }) {
		outcomes[s.duty.ID] = r.doubt(s)
	}
	for _, s := range r.those(func(s *subject) bool { return s.absent != nil }) {
		outcomes[s.duty.ID] = r.absence(s)
	}
	ordered := make([]Outcome, 0, len(h.Duties))
	for _, d := range h.Duties {
		ordered = append(ordered, outcomes[d.ID])
	}
	return ordered, nil
}

func (r *run) those(keep func(*subject) bool) []*subject {
	return slices.DeleteFunc(slices.Clone(r.subjects), func(s *subject) bool { return !keep(s) })
}

func newRun(h *Household) (*run, error) {
	r := &run{
		house:  h,
		span:   span{first: h.Today, today: h.Today, last: h.Today.AddMonths(12 * HorizonYears)},
		waters: map[string]*LineWater{}, uses: map[string]*useWorlds{},
		shapes: map[string]vesselShape{}, conversions: map[string][]float64{},
		boilers: map[string]*steamWater{}, exchangers: map[string][]exchanger{},
	}
	matter := append([]record.Date{h.Today + 7*weeksAhead}, h.Again...)
	for _, duty := range h.Duties {
		s := newSubject(duty, h.servicesOf(duty), h.Today)
		s.checks, s.today = h.Checks[duty.Equipment.ID], h.Today
		r.subjects = append(r.subjects, s)
		from := s.since()
		if s.finds() || s.stage != nil {
			from = duty.Fitted // findings and cartridges need the whole story
		}
		r.span.first = min(r.span.first, from)
		matter = append(matter, duty.Since, duty.Fitted)
		for _, service := range s.services {
			matter = append(matter, service.On)
		}
	}
	r.grid = newGrid(r.span, matter)
	for _, e := range h.Equipment {
		if err := r.prepare(e); err != nil {
			return nil, fmt.Errorf("%s: %w", e.ID, err)
		}
	}
	for _, e := range h.Equipment {
		if e.Machine != nil {
			if err := r.prepareBoilers(e); err != nil {
				return nil, fmt.Errorf("%s: %w", e.ID, err)
			}
		}
		if e.Line != nil {
			r.prepareExchangers(e)
		}
	}
	for _, s := range r.subjects {
		if s.vessel != nil {
			s.boiler = r.boilers[s.duty.Equipment.ID+"/"+s.vessel.ID]
		}
		if err := s.build(h.Draws, r.shapes, nil); err != nil {
			return nil, err
		}
		r.refresh(s)
	}
	return r, nil
}

// prepareBoilers works out what the waters of its line do in a machine's steam
// boilers.
func (r *run) prepareBoilers(e record.Equipment) error {
	for _, v := range e.Machine.Vessels {
		lw, ok := r.waters[e.Machine.Line]
		if v.Kind != record.SteamBoiler || !ok {
			continue
		}
		key := e.ID + "/" + v.ID
		b, err := newSteamWater(r.house.Draws, r.house.Memory, key, lw, r.shapes[key], r.house.Courses[e.ID], r.span)
		if err != nil {
			return err
		}
		r.boilers[key] = b
	}
	return nil
}

// prepareExchangers lists the cartridges that a line has had.
func (r *run) prepareExchangers(e record.Equipment) {
	ways := r.waters[e.ID].ways
	for i, way := range ways {
		for _, stage := range way.feeder.stages {
			if !stage.Kind.Exchanges() {
				continue
			}
			x := exchanger{way: i, stage: stage}
			for _, s := range r.subjects {
				if i == len(ways)-1 && s.stage != nil && s.duty.Equipment.ID == e.ID && s.stage.ID == stage.ID {
					x.subject = s
				}
			}
			if x.subject == nil {
				for _, service := range r.house.Services[e.ID+"/cartridge/"+stage.ID] {
					x.changes = append(x.changes, service.On)
				}
			}
			r.exchangers[e.ID] = append(r.exchangers[e.ID], x)
		}
	}
}

// refresh tells a steam boiler on which days its water was or will be made new.
func (r *run) refresh(s *subject) {
	if s.boiler == nil || !s.refreshes() {
		return
	}
	if s.duty.Since > s.duty.Fitted { // looked after, its water was changed
		s.boiler.refreshed[r.grid.at(s.duty.Since)] = 0
	}
	for _, service := range s.services {
		s.boiler.refreshed[r.grid.at(service.On)] = service.Body.Left
	}
	for _, on := range s.changes {
		if on > r.span.today {
			s.boiler.refreshed[r.grid.at(on)] = 0
		}
	}
}

// prepare works out what a piece of equipment brings to every world.
func (r *run) prepare(e record.Equipment) error {
	switch {
	case e.Machine != nil:
		course, ok := r.house.Courses[e.ID]
		if !ok {
			return fmt.Errorf("its use was not worked out")
		}
		r.uses[e.ID] = newUseWorlds(r.house.Draws, e.ID, course, r.span, r.grid)
		for _, v := range e.Machine.Vessels {
			key := e.ID + "/" + v.ID
			shape, err := shapeOf(v, e.Machine.Setting)
			if err != nil {
				return err
			}
			r.shapes[key] = shape
			r.conversions[key] = conversionsOf(r.house.Draws, key, shape)
		}
	case e.Line != nil:
		water, err := NewLineWater(r.house.Draws, r.house.Memory, e, r.house.Lines[e.ID], r.house.Tests[e.ID], r.span, r.grid)
		if err != nil {
			return err
		}
		r.waters[e.ID] = water
	}
	return nil
}

// planChanges adds the days on which a cartridge is going to be changed: the
// planned day, or else its likely one, and then again each time as much later.
func (s *subject) planChanges(sp span, planned, likely record.Date) {
	next := planned
	if next <= sp.today {
		next = max(likely, sp.today+1)
	}
	if likely == 0 {
		return // it outlives the forecast
	}
	interval := max(1, next-s.last())
	for ; next <= sp.last; next += interval {
		s.changes = append(s.changes, next)
	}
}

// cross plays all worlds and adds the outcomes of the subjects.
func (r *run) cross(subjects []*subject, outcomes map[string]Outcome) {
	if len(subjects) == 0 {
		return
	}
	results := make([][]crossing, len(subjects)) // by subject, then world
	for i, s := range subjects {
		results[i] = newCrossings(r.house.Draws.Worlds, len(s.gauges))
	}
	r.worlds(func(sc *scene, world int) {
		for i, s := range subjects {
			r.crossOne(&results[i][world], sc, s, world)
		}
	})
	for i, s := range subjects {
		outcomes[s.duty.ID] = r.outcome(s, results[i])
	}
}

// worlds plays each world on one of as many workers as there are processors.
// What a world gives depends on its number alone.
func (r *run) worlds(do func(sc *scene, world int)) {
	workers := min(runtime.GOMAXPROCS(0), r.house.Draws.Worlds)
	var wait sync.WaitGroup
	for first := range workers {
		wait.Go(func() {
			sc := newScene(r.house.Equipment, r.grid)
			for world := first; world < r.house.Draws.Worlds; world += workers {
				r.play(sc, world)
				do(sc, world)
			}
		})
	}
	wait.Wait()
}

// outcome gathers what all worlds say of a subject.
func (r *run) outcome(s *subject, worlds []crossing) Outcome {
	o := Outcome{Duty: s.duty, Since: s.last(), Taught: s.taught}
	if n := len(s.services); n > 0 {
		o.Served = s.services[n-1].ID
	}
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
	for k := range s.gauges {
		of := func(field func(crossing) []float64) Points {
			return newPoints(valuesOf(worlds, func(c crossing) float64 { return field(c)[k] }))
		}
		o.Gauges = append(o.Gauges, GaugeOutcome{
			Gauge:     s.bounds[k],
			Reading:   of(func(c crossing) []float64 { return c.reading }),
			Amount:    of(func(c crossing) []float64 { return c.amount }),
			PerWeek:   of(func(c crossing) []float64 { return c.perWeek }).Mid,
			Condition: s.trends[s.bounds[k].Name],
			Window:    newWindow(datesOf(worlds, func(c crossing) record.Date { return c.gauges[k] })),
		})
	}
	if s.vessel != nil && scales(s.duty) {
		o.Scale = r.scaleFacts(s, worlds)
	}
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
