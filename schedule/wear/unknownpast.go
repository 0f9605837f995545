package wear

import (
	"cmp"
	"math"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// UnknownPast is what a forecast takes a part's past to have been that nobody wrote
// down.
type UnknownPast struct {
	Until    record.Date        // from here on all is written down
	Days     figure.Percentiles // from its last service to that day
	LifeDays float64            // that it lasts from then on if it is made fresh, in the middle world
	Looked   int                // how often somebody looked at it since, or said how it looked
	Narrows  float64            // days by which a look at it would narrow its window, about
	Flow     *FlowSeen          // a flow test that speaks of it; nil for none
}

// pastRun is a duty's unknown past in a forecast under way: the time since its last
// service is a share of the life that it then has, drawn as such parts are met.
type pastRun struct {
	from, until record.Date
	ages        *partAges
	shares      []float64 // one a world: where among all such parts this one is, 0 to 1
	years       []float64 // one a world: age of the equipment on the day the records begin; nil where its first day is known
	before      []float64 // one a world: what flowed a day before the forecast's first day, against the year after it
	looked      record.Look
	whole       bool
	flow        *firstFlow // a test that speaks of it; nil for none
	idle        idleDays   // of the part
}

const (
	// neglectShare is how much of the variance of lateness the parts of a machine
	// share: who forgets one thing forgets others. Assumption.
	neglectShare = 0.3
	// strangerLogSD is how far the use of somebody unknown, with a water unknown, lies
	// from that of the present owner, as a log standard deviation. Assumption.
	strangerLogSD = 0.5
	// wholeLookSays is how much it says of one part that the whole looked clean or worn.
	// Assumption.
	wholeLookSays = 0.5
	// mostLifeDays is longer than anything lasts.
	mostLifeDays = 1e6
	// paceDays is over how many days the pace is taken that held before.
	paceDays = 364
	// lookCells is how finely an age is cut where a look has something to say of it. A
	// choice of numerical method.
	lookCells = 24
)

// newPastRun draws the past of a duty.
func newPastRun(draws Draws, d *dutyRun) *pastRun {
	p := &pastRun{from: d.Past.From, until: d.Past.Until, ages: strangersAges(), looked: d.Past.Looked, whole: d.Past.Whole}
	if d.Past.Cared {
		p.ages = carersAges()
	}
	machine := "past/" + d.Equipment.ID
	shared, own := draws.Uniforms(machine, "lateness"), draws.Uniforms(d.block(), "lateness")
	for w := range own {
		z := math.Sqrt(neglectShare)*figure.NormalQuantile(shared[w]) + math.Sqrt(1-neglectShare)*figure.NormalQuantile(own[w])
		own[w] = figure.NormalBelow(z)
	}
	p.shares = own
	p.before = figure.LogNormal(draws.Uniforms(machine, "use before"), strangerLogSD)
	if p.from.IsZero() {
		p.years = draws.Uniforms(machine, "age")
		ages := equipmentAges()
		for w, u := range p.years {
			p.years[w] = ages.at(u)
		}
	}
	return p
}

// mostDays is how long ago the last service can have been in a world.
func (p *pastRun) mostDays(world int) float64 {
	if p.years != nil {
		return 365.25 * p.years[world]
	}
	return float64(p.until - p.from)
}

// life gives how many days a duty's part lasts in a world from the day its records
// begin, if it is made fresh then, by the first of its gauges. What lives by use does not
// live on the days of a time away.
func (r *run) life(d *dutyRun, total *cumulative, world int) float64 {
	knot := r.grid.at(d.past.until)
	idle := d.past.idle
	ahead := max(1, float64(r.span.last-r.grid.knots[knot])-idle.between(knot, len(r.grid.knots)-1))
	life := float64(mostLifeDays)
	for _, g := range d.gauges {
		if g.kind == care.Checked {
			continue
		}
		fresh := g.Start(world, Service{})
		if days, ok := r.daysLeft(g, fresh, total, knot); ok {
			if !g.byDays {
				days -= idle.until(knot, days, r.grid)
			}
			life = min(life, max(1, days))
			continue
		}
		if g.byDays {
			life = min(life, fresh.Limit/fresh.Factor)
		} else if reading := g.Reading(g.Advance(fresh, total.from(knot, total.last()))); reading > 0 {
			life = min(life, ahead/reading)
		}
	}
	return life
}

// lived gives what a part has been exposed to, in a world, from a service so many
// days before the knot at which its records begin. What lies before the forecast's
// first day goes on at the pace of the year after it, but for times away, as somebody
// else drew it.
func (r *run) lived(p *pastRun, total *cumulative, world int, days float64) care.Exposure {
	knots := r.grid.knots
	knot := r.grid.at(p.until)
	known := float64(knots[knot] - knots[0])
	if days >= known {
		lived := total.from(0, knot)
		pace := r.grid.at(knots[0] + paceDays)
		over := float64(r.grid.knots[pace] - knots[0])
		if in := over - p.idle.between(0, pace); in > 0 {
			lived = lived.Plus(total.from(0, pace).Times((days-known)/over, p.before[world]*over/in))
		}
		return lived
	}
	on := float64(knots[knot]) - days
	i, _ := slices.BinarySearchFunc(knots, on, func(k record.Date, at float64) int {
		if float64(k) <= at {
			return -1
		}
		return 1
	}) // the first knot after it
	share := (float64(knots[i]) - on) / float64(knots[i]-knots[i-1])
	return total.from(i, knot).Plus(total.step(i-1).Times(share, 1))
}

// remember works out, in a world, how long ago a duty's part was last cared for before
// its records begin, and what it has been exposed to since. What was seen of it later
// counts: each age is weighed by how well it explains that.
func (r *run) remember(d *dutyRun, total *cumulative, world int) (days float64, lived care.Exposure) {
	p := d.past
	life, most := r.life(d, total, world), p.mostDays(world)
	ago := func(share float64) float64 { return min(p.ages.at(share)*life, most) }
	share := p.shares[world]
	if looks := d.looks(); len(looks) > 0 || p.looked != "" || p.flow != nil {
		var weights [lookCells]float64
		sum := 0.0
		for i := range weights {
			weights[i] = r.explains(d, total, world, r.lived(p, total, world, ago((float64(i)+0.5)/lookCells)), looks)
			sum += weights[i]
		}
		if sum > 0 {
			share = shareOfCells(weights[:], share*sum)
		}
	}
	days = ago(share)
	return days, r.lived(p, total, world, days)
}

// shareOfCells is the share of a distribution of equal cells below which so much of
// their weight lies.
func shareOfCells(weights []float64, weight float64) float64 {
	for i, w := range weights {
		if weight <= w && w > 0 {
			return (float64(i) + weight/w) / float64(len(weights))
		}
		weight -= w
	}
	return 1
}

// explains is how well an age of a part explains, in a world, how it looked when its
// records began and what was seen of it since.
func (r *run) explains(d *dutyRun, total *cumulative, world int, lived care.Exposure, looks []record.Dated[record.Service]) float64 {
	g := d.gauges[0]
	knot := r.grid.at(d.past.until)
	state := g.Advance(g.Start(world, Service{}), lived)
	assumed := func(s State) State {
		if d.multipliers != nil && g.kind == care.Deposited {
			return g.Assume(s, d.multipliers[world])
		}
		return s
	}
	likelihood := 1.0
	if d.past.looked != "" {
		says := 0.0
		for _, f := range lookedLike(d.Task.Findings, d.past.looked) {
			says += g.Likelihood(assumed(state), record.Service{Finding: f})
		}
		if d.past.whole {
			says = wholeLookSays*says + (1-wholeLookSays)/2
		}
		likelihood *= says
	}
	flow := d.past.flow
	through := func() { // what flowed on the day of the flow test
		grams := d.gramsHeld(world, g.Advance(state, total.from(knot, r.grid.at(flow.on))).Amount)
		likelihood *= flow.likelihood(world, grams)
		flow = nil
	}
	for _, s := range looks {
		if flow != nil && flow.on <= s.On {
			through()
		}
		to := r.grid.at(s.On)
		state = g.Advance(state, total.from(knot, to))
		if found(s) {
			likelihood *= g.Likelihood(assumed(state), s.Body)
		}
		state = g.Start(world, Service{Left: s.Body.Left, Before: state})
		knot = to
	}
	if flow != nil {
		through()
	}
	return likelihood
}

// lookedLike lists the findings that are meant by how a part looked.
func lookedLike(of care.Findings, look record.Look) []record.Finding {
	switch {
	case of == care.FindsScale && look == record.LookedClean:
		return []record.Finding{record.Bare, record.Film}
	case of == care.FindsScale:
		return []record.Finding{record.Crust, record.Flakes}
	case look == record.LookedClean:
		return []record.Finding{record.Fresh}
	}
	return []record.Finding{record.Worn, record.Failed}
}

// looks lists what was seen of a duty's part since its records begin, and what was
// done to it in part; none where the first gauge learns nothing from findings.
func (d *dutyRun) looks() []record.Dated[record.Service] {
	if d.past == nil || !d.finds() {
		return nil
	}
	return d.partly()
}

// pastOutcome gathers what all worlds say of a duty's unknown past. How much a look
// would narrow its window is the window now against the mean of those of the third of
// the worlds that was made fresh last, of the middle third and of the other.
func (d *dutyRun) pastOutcome(s span, c *crossings) *UnknownPast {
	p := &UnknownPast{Until: d.past.until, Days: figure.Over(c.ago), LifeDays: figure.Over(c.life).Likely}
	for _, look := range d.looks() {
		if found(look) {
			p.Looked++
		}
	}
	if d.past.looked != "" {
		p.Looked++
	}
	if f := d.past.flow; f != nil {
		p.Flow = &f.FlowSeen
	}
	if d.Task.Findings == care.FindsNothing {
		return p
	}
	p.Narrows = narrows(s, c.due, func(world int) float64 { return c.ago[world] / c.life[world] })
	return p
}

// narrows is by how many days the window of crossings, one a world, would be narrower if
// somebody told in which third of the worlds something lies. What is past counts as today
// and what lies beyond the horizon as the horizon: there a date is no better known for it.
func narrows(s span, crossings []record.Date, of func(world int) float64) float64 {
	const parts = 3
	order := make([]int, len(crossings))
	values := make([]float64, len(crossings))
	for w := range order {
		order[w], values[w] = w, of(w)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	told := 0.0
	for i := range parts {
		var third []record.Date
		for _, w := range order[i*len(order)/parts : (i+1)*len(order)/parts] {
			third = append(third, crossings[w])
		}
		told += s.windowDays(third) / parts
	}
	return max(0, s.windowDays(crossings)-told)
}

// windowDays is the width of the window of some crossings, as far as it lies ahead and
// not beyond the horizon.
func (s span) windowDays(crossings []record.Date) float64 {
	if len(crossings) == 0 {
		return 0
	}
	due := slices.Clone(crossings)
	figure.SelectQuantiles(due, figure.LowShare, figure.HighShare)
	ahead := func(d record.Date) record.Date { return max(s.today, min(d, s.last)) }
	return float64(ahead(figure.Quantile(due, figure.HighShare)) - ahead(figure.Quantile(due, figure.LowShare)))
}
