package wear

import (
	"cmp"
	"fmt"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/deposit"
	"limekeep/water/figure"
)

// dutyRun is a duty in a forecast under way, with its gauges.
type dutyRun struct {
	care.Duty
	gauges      []*dutyGauge
	services    []record.Dated[record.Service]
	base        int // index in services of the last that was done wholly; -1 for none
	today       record.Date
	checks      []record.Dated[record.Measurement]
	slot        int                // of the exposure that its gauges live through
	line        *lineRun           // of a duty for a line or a cartridge
	vessel      *vesselRun         // of a duty for a vessel
	stage       *record.Treatment  // of a duty for a cartridge
	multiplier  figure.Percentiles // what is known beforehand of the share of the potential that stays in a vessel
	multipliers []float64          // of a duty about scale: share of the potential that stays in the vessel, one a world, as learned
	changes     []record.Date      // days on which the part was or will be made fresh
	doubt       *care.BoundGauge   // a water test's own gauge, which looks at all worlds at once
	absent      *care.BoundGauge   // the gauge of work that goes with a time away
	holds       []float64          // of a duty about scale: grams that its vessel can hold, one a world
	index       int                // among all duties
	past        *pastRun           // of one whose past nobody wrote down; nil where all is known
	learned     *Learned
	outcome     Outcome

	expectations []expectation // what services and checks can find of it
}

// dutyGauge is a gauge with what the catalogue says of it.
type dutyGauge struct {
	Gauge
	bound     care.BoundGauge
	kind      care.Kind
	condition *Condition // of one that is Checked; nil where nothing was measured
	byDays    bool       // it counts plain days, so that a crossing needs no look-up
	single    bool       // it counts one amount alone
	only      care.Amount
	perAmount float64             // what it counts for one of it
	limits    []float64           // of one that counts, one a world
	wanted    func(State) float64 // of one that scale is laid down for: how much more could be until it reads 1
}

// fresh gives the state of a new part.
func (g *dutyGauge) fresh(world int) State {
	if g.single {
		return State{Factor: 1, Limit: g.limits[world]}
	}
	return g.Start(world, Service{})
}

// reads is Reading, and gathered Amount: of a single gauge what its state has.
func (g *dutyGauge) reads(s *State) float64 {
	if g.single {
		return s.reading()
	}
	return g.Reading(*s)
}

func (g *dutyGauge) gathered(s *State) float64 {
	if g.single {
		return s.Amount
	}
	return g.Amount(*s)
}

// after gives the state of a gauge after what came between two knots.
func (g *dutyGauge) after(s State, total *cumulative, knot, to int) State {
	if !g.single {
		return g.Advance(s, total.from(knot, to))
	}
	row := total[g.only]
	s.Amount += g.perAmount * (row[to] - row[knot])
	return s
}

func newDutyRun(duty care.Duty, h *Household) *dutyRun {
	d := &dutyRun{
		Duty: duty, services: h.servicesOf(duty), base: -1, today: h.Today,
		checks: h.Checks[duty.Equipment.ID], stage: duty.Changes(), multiplier: depositMultiplier,
	}
	if d.Past.Unknown && len(h.Services[duty.ID]) == 0 {
		d.notBefore()
	}
	if h.ModelLogSD > 0 {
		d.multiplier = plainMultiplier.Widened(h.ModelLogSD)
	}
	for i, s := range d.services {
		if s.Body.Left == 0 {
			d.base = i
		}
		if !s.Body.Looked() {
			d.changes = append(d.changes, s.On)
		}
	}
	if d.Past.Unknown {
		d.Past.Until = min(d.Past.Until, h.Today)
		if len(d.services) > 0 { // whoever wrote down the first knew of it from then on
			d.Past.Until = min(d.Past.Until, d.services[0].On)
		}
		if d.base < 0 || d.finds() {
			d.past = newPastRun(h.Draws, d)
		}
	}
	return d
}

// notBefore takes what was done by other work, before all was written down, for the longest
// that it can be since: who wrote down a descaling of a year ago may well have refreshed the
// boiler's water since, and written nothing down of that.
func (d *dutyRun) notBefore() {
	known := slices.IndexFunc(d.services, func(s record.Dated[record.Service]) bool { return s.On >= d.Past.Until })
	if known < 0 {
		known = len(d.services)
	}
	if known > 0 {
		d.Past.From = max(d.Past.From, d.services[known-1].On)
		d.services = d.services[known:]
	}
}

// unknown reports whether nobody knows when the part was last made fresh.
func (d *dutyRun) unknown() bool { return d.past != nil && d.base < 0 }

// begins is the first day of the part's story that a forecast follows.
func (d *dutyRun) begins() record.Date {
	if !d.Past.Unknown {
		return d.Fitted
	}
	return min(d.Past.Until, max(d.Past.From, d.Equipment.Bought))
}

// link finds what the duty is for.
func (d *dutyRun) link(r *run) error {
	id := d.Equipment.ID
	for _, l := range r.lines {
		if l.ID == id {
			d.line, d.slot = l, l.slot
			return nil
		}
	}
	for _, g := range r.grinders {
		if g.ID == id {
			d.slot = g.slot
			return nil
		}
	}
	for _, t := range r.tools {
		if t.ID == id {
			d.slot = t.slot
			return nil
		}
	}
	for _, m := range r.machines {
		if m.ID != id {
			continue
		}
		d.slot = m.slot
		if spec := d.Vessel(); spec != nil {
			i := slices.IndexFunc(m.vessels, func(v *vesselRun) bool { return v.ID == spec.ID })
			if i < 0 {
				return fmt.Errorf("vessel %q is not in the machine", spec.ID)
			}
			d.vessel, d.slot = m.vessels[i], m.vessels[i].slot
			if d.past != nil {
				d.past.flow = newFirstFlow(r, d)
			}
		}
		return nil
	}
	return fmt.Errorf("equipment %q is not at the place", id)
}

// watered reports whether the duty's gauges live by water.
func (d *dutyRun) watered() bool { return d.line != nil || d.vessel != nil }

// since is the day the gauges start from.
func (d *dutyRun) since() record.Date {
	if d.Past.Unknown {
		if d.base >= 0 {
			return d.services[d.base].On
		}
		return d.Past.Until
	}
	if d.base >= 0 {
		return max(d.services[d.base].On, d.Since)
	}
	return d.Since
}

// begun gives the state of a gauge on the day that since gives, of the fresh one: that
// itself, or as lived through what nobody wrote down. What is measured is read from then
// on.
func (d *dutyRun) begun(g *dutyGauge, fresh State, w *worldState) State {
	if d.unknown() && g.kind != care.Checked {
		return g.Advance(fresh, w.lived[d.index])
	}
	return fresh
}

// measuredSince is the day from which checks speak of the present part: what was
// measured before anybody wrote down what was done counts as well.
func (d *dutyRun) measuredSince() record.Date {
	if d.unknown() {
		return max(d.Past.From, d.Equipment.FirstDay())
	}
	return d.since()
}

// partly gives the services since then that did it only in part.
func (d *dutyRun) partly() []record.Dated[record.Service] {
	services := d.services[d.base+1:]
	for len(services) > 0 && services[0].On < d.since() {
		services = services[1:]
	}
	return services
}

// parts is how many parts came before the present one: each whole service ends
// the life of one.
func (d *dutyRun) parts() int {
	n := 0
	for _, s := range d.services {
		if s.Body.Left == 0 {
			n++
		}
	}
	return n
}

// last is the day of the last service, whole or not.
func (d *dutyRun) last() record.Date {
	if s, ok := d.lastDone(); ok {
		return max(s.On, d.since())
	}
	return d.since()
}

// served is the record of the last service, 0 for none.
func (d *dutyRun) served() int64 {
	s, _ := d.lastDone()
	return s.ID
}

// lastDone is the last service that did more than look; false where there is none.
func (d *dutyRun) lastDone() (record.Dated[record.Service], bool) {
	for _, s := range slices.Backward(d.services) {
		if !s.Body.Looked() {
			return s, true
		}
	}
	return record.Dated[record.Service]{}, false
}

// finds tells whether any service found something.
func (d *dutyRun) finds() bool {
	if len(d.Gauges) == 0 || d.Gauges[0].Driver.Kind() == care.Checked || d.Gauges[0].Driver.OfAbsence() {
		return false // what was measured needs no finding, and a time away is no wear
	}
	return slices.ContainsFunc(d.services, found)
}

func found(s record.Dated[record.Service]) bool { return s.Body.Finding != "" || s.Body.Grams > 0 }

// refreshes tells whether the duty makes the water of a steam boiler new.
func (d *dutyRun) refreshes() bool { return d.Has(care.Dissolved) }

// servicesOf gives the services of a duty. To have descaled a steam boiler is to
// have refreshed its water too.
func (h *Household) servicesOf(d care.Duty) []record.Dated[record.Service] {
	services := h.Services[d.ID]
	if !d.Has(care.Dissolved) {
		return services
	}
	services = slices.Clone(services)
	for _, other := range h.Duties {
		if other.Equipment.ID == d.Equipment.ID && other.Part == d.Part && other.Has(care.Deposited) {
			for _, s := range h.Services[other.ID] {
				if s.Body.Looked() {
					continue
				}
				s.Body = record.Service{Task: d.ID}
				services = append(services, s)
			}
		}
	}
	slices.SortStableFunc(services, func(a, b record.Dated[record.Service]) int {
		return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.ID, b.ID))
	})
	return services
}

// ofPart keeps the checks of the duty's own part; all of them where it is for
// the whole.
func (d *dutyRun) ofPart(checks []record.Dated[record.Measurement]) []record.Dated[record.Measurement] {
	if d.Part == "" {
		return checks
	}
	return slices.DeleteFunc(slices.Clone(checks), func(c record.Dated[record.Measurement]) bool { return c.Body.Part != d.Part })
}

// block names the block of a world that the duty's unknowns belong to.
func (d *dutyRun) block() string { return "part/" + d.ID }

// build makes the gauges. The first is the one that findings teach: its unknown
// is drawn from learned, with the same uniforms whatever was learned.
func (d *dutyRun) build(draws Draws, learned knowledge) error {
	d.gauges, d.doubt, d.absent = nil, nil, nil
	if d.Has(care.Deposited) {
		taught := learned
		if d.Gauges[0].Driver.Kind() != care.Deposited {
			taught = nil
		}
		d.drawMultipliers(draws, taught)
	}
	for i := range d.Gauges {
		bound := &d.Gauges[i]
		switch bound.Driver.Kind() {
		case care.Doubted:
			d.doubt = bound
			continue
		case care.Away:
			d.absent = bound
			continue
		}
		taught := learned
		if len(d.gauges) > 0 {
			taught = nil
		}
		gauge := &dutyGauge{bound: *bound, kind: bound.Driver.Kind(), byDays: bound.Driver == care.ByDays}
		if err := d.make(gauge, draws, taught); err != nil {
			return fmt.Errorf("%s, gauge %q: %w", d.ID, bound.Name, err)
		}
		d.gauges = append(d.gauges, gauge)
	}
	return nil
}

// make makes the gauge of a catalogue's entry, by the kind of its driver.
func (d *dutyRun) make(g *dutyGauge, draws Draws, learned knowledge) error {
	driver, limit := g.bound.Driver, g.bound.Limit.Percentiles()
	uniforms := draws.Uniforms(d.block(), "limit/"+g.bound.Name)
	switch g.kind {
	case care.Checked:
		g.condition = worst(PartConditions(d.Equipment, g.bound.Gauge, d.ofPart(d.checks), d.measuredSince()), d.today)
		g.Gauge = newTrendGauge(draws, d.block(), g.bound, g.condition, d.since())
		return nil
	case care.Deposited:
		scale, err := d.scaleGauge(draws, driver, limit.Draw(uniforms))
		if err != nil {
			return err
		}
		g.Gauge, g.wanted = scale, scale.wanted
		return nil
	case care.Dissolved:
		if d.vessel == nil || d.vessel.boiler == nil {
			return fmt.Errorf("nothing gathers but in a steam boiler")
		}
		g.Gauge = newBoilerGauge(driver, limit, limit.Draw(uniforms), d.vessel.boiler, d.today)
		return nil
	}
	count, ok := driver.Count(d.Duty)
	if !ok {
		return fmt.Errorf("nothing drives it by %q here", driver)
	}
	limits := limit.Draw(uniforms)
	if d.unknown() {
		limits = metLimits(limit, uniforms, d.endings())
	}
	if learned != nil {
		limits = learned.draw(draws, d.block(), "limit/"+g.bound.Name)
	}
	if g.only, g.single = driver.CountsOnly(); g.single {
		g.perAmount = count(care.Only(g.only, 1))
	}
	g.Gauge, g.limits = &partGauge{prior: limit, count: count, limits: limits}, limits
	return nil
}

// endings is how many of the duty's gauges can end a part's life by being used up.
func (d *dutyRun) endings() (n int) {
	for _, g := range d.Gauges {
		if g.Driver.Kind() == care.Counted {
			n++
		}
	}
	return n
}

// drawMultipliers draws the vessel's multiplier, the same for all gauges of its
// scale.
func (d *dutyRun) drawMultipliers(draws Draws, learned knowledge) {
	if learned == nil {
		learned = newPosterior(d.multiplier)
	}
	if d.vessel != nil {
		d.holds = d.mostGrams(draws)
	}
	d.multipliers = learned.draw(draws, d.block(), "deposit multiplier")
	for w, m := range d.multipliers {
		d.multipliers[w] = min(m, mostMultiplier)
	}
}

func (d *dutyRun) scaleGauge(draws Draws, driver care.Driver, limits []float64) (*scaleGauge, error) {
	if d.vessel == nil {
		return nil, fmt.Errorf("only a vessel scales")
	}
	shape := d.vessel.shape
	g := &scaleGauge{prior: d.multiplier, multipliers: d.multipliers, limits: limits, eyeMM: shape.mmPerGram(usualPorosity.Likely)}
	g.most = d.holds
	wall, shell := shape.layers(draws, d.block())
	switch driver {
	case care.ByScaleThickness:
		g.perGram = wall
	case care.ByOrificeLoss:
		if shape.boreMM == 0 {
			return nil, fmt.Errorf("its bore is not known")
		}
		g.perGram, g.boreMM = shell, shape.boreMM
		for w, lost := range g.limits {
			g.limits[w] = deposit.OrificeThicknessMM(shape.boreMM, 1-min(lost, 0.9))
		}
	default:
		g.perGram = guesses(draws, d.block(), "", false) // a gram is a gram
	}
	return g, nil
}

// mostGrams is what the duty's vessel can hold, one a world.
func (d *dutyRun) mostGrams(draws Draws) []float64 {
	most := guesses(draws, "part/"+d.vessel.name(), "volume", d.vessel.shape.guessedSize)
	for w := range most {
		most[w] *= d.vessel.shape.mostGrams()
	}
	return most
}

// gramsHeld is the scale in the duty's vessel in a world, of a potential.
func (d *dutyRun) gramsHeld(world int, potential float64) float64 {
	grams := potential * d.multipliers[world]
	if d.holds == nil {
		return grams
	}
	return held(grams, d.holds[world])
}

// refresh tells a steam boiler on which days its water was or will be made new.
func (d *dutyRun) refresh(r *run) {
	if d.vessel == nil || d.vessel.boiler == nil || !d.refreshes() {
		return
	}
	b := d.vessel.boiler
	if d.Since > d.Fitted && !d.Past.Unknown { // looked after, its water was changed
		b.refresh(r.grid.at(d.Since), 0)
	}
	for _, service := range d.services {
		b.refresh(r.grid.at(service.On), service.Body.Left)
	}
	for _, on := range d.changes {
		if on > r.span.today {
			b.refresh(r.grid.at(on), 0)
		}
	}
}

// planChanges adds the days on which a part is going to be made fresh: the
// planned day, or else its likely one, and then again each time as much later.
func (d *dutyRun) planChanges(sp span, planned record.Date) {
	likely := d.outcome.Window.Likely
	if likely == 0 {
		return // it outlives the forecast
	}
	next := planned
	if next <= sp.today {
		next = max(likely, sp.today+1)
	}
	interval := max(1, next-d.last())
	if d.outcome.Past != nil {
		interval = max(interval, record.Date(d.outcome.Past.LifeDays))
	}
	for ; next <= sp.last; next += interval {
		d.changes = append(d.changes, next)
	}
}
