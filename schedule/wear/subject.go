package wear

import (
	"cmp"
	"fmt"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water"
)

// subject is a duty with its gauges, ready to run.
type subject struct {
	duty     care.Duty
	gauges   []Gauge
	bounds   []care.BoundGauge // the gauges' catalogue entries, in the same order
	services []record.Dated[record.Service]
	base     int               // index in services of the last that was done wholly; -1 for none
	vessel   *record.Vessel    // of a duty for a vessel
	stage    *record.Treatment // of a duty for a cartridge
	boiler   *steamWater       // of a duty for a steam boiler
	today    record.Date
	changes  []record.Date // days on which the part was or will be made fresh
	taught   *Taught
	doubt    *care.BoundGauge // a water test's own gauge, which looks at all worlds at once
	absent   *care.BoundGauge // the gauge of work that goes with a time away
	checks   []record.Dated[record.Measurement]
	trends   map[string]*Condition // by gauge
}

// since is the day the gauges start from.
func (s *subject) since() record.Date {
	if s.base >= 0 {
		return max(s.services[s.base].On, s.duty.Since)
	}
	return s.duty.Since
}

// parts gives the services since then that did it only in part.
func (s *subject) parts() []record.Dated[record.Service] {
	parts := s.services[s.base+1:]
	for len(parts) > 0 && parts[0].On < s.since() {
		parts = parts[1:]
	}
	return parts
}

// last is the day of the last service, whole or not.
func (s *subject) last() record.Date {
	if n := len(s.services); n > 0 {
		return max(s.services[n-1].On, s.duty.Since)
	}
	return s.duty.Since
}

// finds tells whether any service found something.
func (s *subject) finds() bool {
	if len(s.duty.Gauges) == 0 || s.duty.Gauges[0].Driver == care.ByTrend || s.duty.Gauges[0].Driver.OfAbsence() {
		return false // what was measured needs no finding, and a time away is no wear
	}
	return slices.ContainsFunc(s.services, func(d record.Dated[record.Service]) bool {
		return d.Body.Finding != "" || d.Body.Grams > 0
	})
}

// refreshes tells whether the duty makes the water of a steam boiler new.
func (s *subject) refreshes() bool { return gathers(s.duty) }

// gathers tells whether any gauge of a duty is about what gathers in a boiler.
func gathers(d care.Duty) bool {
	return slices.ContainsFunc(d.Gauges, func(g care.BoundGauge) bool {
		return g.Driver == care.ByBoilerChloride || g.Driver == care.ByBoilerAlkalinity || g.Driver == care.ByBoilerSolids
	})
}

// scales tells whether any gauge of a duty is about scale in a vessel.
func scales(d care.Duty) bool {
	return slices.ContainsFunc(d.Gauges, func(g care.BoundGauge) bool { return byScale(g.Driver) })
}

func byScale(d care.Driver) bool {
	return d == care.ByScaleThickness || d == care.ByScaleMass || d == care.ByOrificeLoss
}

// servicesOf gives the services of a duty. To have descaled a steam boiler is to
// have refreshed its water too.
func (h *Household) servicesOf(d care.Duty) []record.Dated[record.Service] {
	services := h.Services[d.ID]
	if !gathers(d) {
		return services
	}
	services = slices.Clone(services)
	for _, other := range h.Duties {
		if other.Equipment.ID == d.Equipment.ID && other.Part == d.Part && scales(other) {
			for _, s := range h.Services[other.ID] {
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
func (s *subject) ofPart(checks []record.Dated[record.Measurement]) []record.Dated[record.Measurement] {
	if s.duty.Part == "" {
		return checks
	}
	return slices.DeleteFunc(slices.Clone(checks), func(c record.Dated[record.Measurement]) bool { return c.Body.Part != s.duty.Part })
}

// block names the block of a world that the duty's unknowns belong to.
func (s *subject) block() string { return "part/" + s.duty.ID }

func newSubject(duty care.Duty, services []record.Dated[record.Service], today record.Date) *subject {
	s := &subject{duty: duty, services: services, base: -1, today: today}
	for i, d := range services {
		if d.Body.Left == 0 {
			s.base = i
		}
		s.changes = append(s.changes, d.On)
	}
	if m := duty.Equipment.Machine; m != nil && duty.Task.Per == care.PerVessel {
		if i := slices.IndexFunc(m.Vessels, func(v record.Vessel) bool { return v.ID == duty.Part }); i >= 0 {
			s.vessel = &m.Vessels[i]
		}
	}
	if l := duty.Equipment.Line; l != nil && duty.Task.Per == care.PerCartridge {
		if i := slices.IndexFunc(l.Treatment, func(t record.Treatment) bool { return t.ID == duty.Part }); i >= 0 {
			s.stage = &l.Treatment[i]
		}
	}
	return s
}

// build makes the gauges. The first is the one that findings teach: its unknown
// is drawn from learned, with the same uniforms whatever was learned.
func (s *subject) build(d Draws, shapes map[string]vesselShape, learned *posterior) error {
	s.gauges, s.bounds, s.doubt, s.absent = nil, nil, nil, nil
	s.trends = map[string]*Condition{}
	for i := range s.duty.Gauges {
		bound := s.duty.Gauges[i]
		if bound.Driver == care.ByWaterDoubt {
			s.doubt = &s.duty.Gauges[i]
			continue
		}
		if bound.Driver.OfAbsence() {
			s.absent = &s.duty.Gauges[i]
			continue
		}
		gauge, err := s.gauge(d, bound, shapes, learned, len(s.gauges) == 0)
		if err != nil {
			return fmt.Errorf("%s, gauge %q: %w", s.duty.ID, bound.Name, err)
		}
		s.gauges = append(s.gauges, gauge)
		s.bounds = append(s.bounds, bound)
	}
	return nil
}

func (s *subject) gauge(d Draws, bound care.BoundGauge, shapes map[string]vesselShape, learned *posterior, first bool) (Gauge, error) {
	limit := Spread{Low: bound.Limit.Low, Usual: bound.Limit.Usual, High: bound.Limit.High}
	uniforms := d.Uniforms(s.block(), "limit/"+bound.Name)
	if bound.Driver == care.ByTrend {
		c := worst(PartConditions(s.duty.Equipment, bound.Gauge, s.ofPart(s.checks), s.since()), s.today)
		s.trends[bound.Name] = c
		return newTrendGauge(d, s.block(), bound, c, s.since()), nil
	}
	if byScale(bound.Driver) {
		if s.vessel == nil {
			return nil, fmt.Errorf("only a vessel scales")
		}
		shape := shapes[s.duty.Equipment.ID+"/"+s.vessel.ID]
		if bound.Driver == care.ByOrificeLoss && shape.boreMM == 0 {
			return nil, fmt.Errorf("its bore is not known")
		}
		return s.scaleGauge(d, bound.Driver, drawn(limit, uniforms), shape, learned), nil
	}
	if boiler := s.boiler; boiler != nil {
		if g := newBoilerGauge(bound.Driver, limit, drawn(limit, uniforms), boiler, s.today); g != nil {
			return g, nil
		}
	}
	step, err := s.step(bound.Driver)
	if err != nil {
		return nil, err
	}
	g := &partGauge{prior: limit, step: step, byDays: bound.Driver == care.ByDays}
	if first && learned != nil {
		for _, u := range uniforms {
			g.limits = append(g.limits, learned.at(u))
		}
	} else {
		g.limits = drawn(limit, uniforms)
	}
	return g, nil
}

// scaleGauge draws the vessel's multiplier, the same for both of its gauges.
func (s *subject) scaleGauge(d Draws, driver care.Driver, limits []float64, shape vesselShape, learned *posterior) Gauge {
	g := &scaleGauge{prior: depositMultiplier, limits: limits, eyeMM: shape.mmPerGram(usualPorosity.Usual)}
	if learned == nil {
		learned = newPosterior(depositMultiplier)
	}
	for _, u := range d.Uniforms(s.block(), "deposit multiplier") {
		g.multipliers = append(g.multipliers, learned.at(u))
	}
	wall, shell := shape.layers(d, s.block())
	switch driver {
	case care.ByScaleThickness:
		g.perGram = wall
	case care.ByOrificeLoss:
		g.perGram = shell
	default:
		g.perGram = guesses(d, s.block(), "", false) // a gram is a gram
	}
	if driver == care.ByOrificeLoss {
		g.boreMM = shape.boreMM
		for w, lost := range g.limits {
			g.limits[w] = water.OrificeThicknessMM(shape.boreMM, 1-min(lost, 0.9))
		}
	}
	return g
}

// step gives what one day adds to a counted gauge.
func (s *subject) step(driver care.Driver) (func(Day) float64, error) {
	switch driver {
	case care.ByShots:
		return s.perGroup(stepShots), nil
	case care.ByKilograms:
		return stepKilograms, nil
	case care.ByDays:
		return stepDays, nil
	case care.ByHotHours:
		return stepHotHours, nil
	case care.BySealHours:
		return stepSealHours(s.sealCelsius()), nil
	case care.ByExchange:
		if s.stage != nil {
			return exchangeStep(s.stage), nil
		}
	case care.ByLitres:
		if s.stage != nil {
			return litresStep(s.stage), nil
		}
	}
	return nil, fmt.Errorf("nothing drives it by %q here", driver)
}

// perGroup shares a machine's shots among its groups.
func (s *subject) perGroup(step func(Day) float64) func(Day) float64 {
	groups := 1.0
	if m := s.duty.Equipment.Machine; m != nil && s.duty.Task.Per == care.PerGroup {
		groups = float64(len(m.Groups))
	}
	return func(d Day) float64 { return step(d) / groups }
}

// sealCelsius is the temperature at the gasket: the owner's figure, or that
// which gasket lives are stated at.
func (s *subject) sealCelsius() float64 {
	if m := s.duty.Equipment.Machine; m != nil {
		for _, g := range m.Groups {
			if g.ID == s.duty.Part && g.SealCelsius > 0 {
				return g.SealCelsius
			}
		}
	}
	return sealReferenceCelsius
}

// exchangeStep counts the share of an exchanger's capacity that is used. The
// capacity is what the maker states: so many litres at so much hardness. A
// softener takes all hardness, a decarboniser what goes with alkalinity.
func exchangeStep(t *record.Treatment) func(Day) float64 {
	perMeq := (1 - t.BypassShare) / cartridgeOf(*t).CapacityMeq()
	onHydrogen := hydrogenOf(*t)
	return func(d Day) float64 {
		// As Cartridge.LoadMeqPerLitre has it, on sums of days.
		return (min(onHydrogen*d.HardnessMeq, d.CarbonMeq) + (1-onHydrogen)*d.HardnessMeq) * perMeq
	}
}

// litresStep counts the share of the rated litres that a day uses.
func litresStep(t *record.Treatment) func(Day) float64 {
	return func(d Day) float64 { return d.Litres * (1 - t.BypassShare) / t.RatedLitres }
}

func drawn(s Spread, uniforms []float64) []float64 {
	values := make([]float64, len(uniforms))
	for i, u := range uniforms {
		values[i] = s.At(u)
	}
	return values
}
