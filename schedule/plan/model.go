package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"limekeep/schedule/record"
)

// Request is what a plan is asked for.
type Request struct {
	Today  record.Date
	Until  record.Date // end of the plan; the day after the last slot at the earliest
	Slots  []Slot      // in order, none blocked, none before today
	Tasks  []Task
	Prices Prices
	Effort int  // how many steps of chains the search may look at; usual where 0
	Quiet  bool // nothing but days passed since the plan that was published last: it is fitted to them, and no drafts are made beside it
	Proof  int  // how many more to raise the bound once the plan is found; for those who ask how good plans are

	Machines       map[string]Machine // by id of the equipment; those left out are hot and cold at once
	CatchUpMinutes float64            // of sittings a week while catching up; UsualCatchUp where 0
	LeadDays       float64            // from calling somebody to the visit; UsualLead where 0
	Closed         []Days             // when nobody is there who could let anybody in
	RoutineDay     *time.Weekday      // of the weekly round; nil for the one farthest from the slots

	spare []float64   `exact:"-"` // by slot: minutes that catching up leaves to a sitting; nil where nothing is caught up with
	upTo  record.Date `exact:"-"` // last day of catching up; zero for none
	upOn  []string    `exact:"-"` // tasks that are caught up with until then

	// What models of the request have in common once its tasks are those of sittings.
	clock *clock        `exact:"-"`
	dates []record.Date `exact:"-"` // of the slots
	known []knownChain  `exact:"-"` // by task
}

// UsualEffort is for few tasks or slots. Where there are more, as in a household, the search
// may look at every way usualLooks times: that plans one in less than three hundredths of a
// second. From trials over 24 households: twice as much makes the plan cheaper by a
// thousandth. Where a plan was published half as much will do, since it is begun with.
const (
	UsualEffort = 4_500_000
	usualLooks  = 80
)

// wasPublished reports whether turns of the tasks stood in a plan before this one.
func (r *Request) wasPublished() bool {
	return slices.ContainsFunc(r.Tasks, func(t Task) bool { return len(t.Published) > 0 })
}

// QuietEffort is for a plan that stands while nothing but a day has passed: enough to fit
// it to the news, and to find what is much better. The rest waits for a night of the usual
// effort.
const QuietEffort = 400_000

// model is a request in numbers. A kind is what tasks of a sitting share: kind
// 0 is the sitting itself, the others are states.
type model struct {
	n       int // slots
	chains  []chain
	clock   *clock
	minutes []float64 // by task, of hands
	whole   []float64 // by task, hands and waits
	heating float64   // minutes that all machines take to heat up, one after another
	stretch []bool    // by task: may stand alone in a slot that is too short for it
	usual   []float64 // by slot: minutes that there are but for what runs over for safety; nil before that is looked at
	fixed   [][]int   // by task: the slots it is fixed in
	held    []bool    // by task: it is left no way but one, since it covers others
	free    []chain   // by task: what its chain was before it was held
	last    bool      // nothing that covers may get another turn
	covers  [][]int   // by task: the slots in which a turn of another covers it
	kinds   [][]int   // by task: the kinds it needs
	price   []float64 // by kind
	members [][]int   // by kind: the tasks that need it
	member  [][]int   // by task and place in kinds: its place in members
	room    []float64 // by slot, minutes from its beginning to its end
	looked  int       // steps looked at so far
	effort  int
	quiet   bool            // as in Request
	ctx     context.Context // of the one call that it is made for
}

// spent reports whether the search is to end: the effort is used, or nobody waits.
func (m *model) spent() bool { return m.looked > m.effort || m.ctx.Err() != nil }

// newModel puts a request in numbers. Covers holds, by task, the slots in which
// a turn of another task counts as one of it; nil for none.
func newModel(r *Request, covers [][]int) *model {
	if covers == nil {
		covers = make([][]int, len(r.Tasks))
	}
	m := &model{ctx: context.Background(), n: len(r.Slots), effort: r.Effort, quiet: r.Quiet, clock: r.clock, held: make([]bool, len(r.Tasks)), free: make([]chain, len(r.Tasks)), covers: covers}
	if m.clock == nil {
		m.clock = newClock(r)
	}
	days := r.days()
	for _, s := range r.Slots {
		m.room = append(m.room, s.Minutes)
	}
	until := float64(r.Until - r.Today)
	if m.n > 0 {
		until = max(until, days[m.n-1]+1)
	}
	m.addKinds(r)
	for _, machine := range m.clock.machines {
		m.heating += machine.HeatMinutes
	}
	fixed := make([][]int, m.n)
	for i := range r.Tasks {
		t := &r.Tasks[i]
		m.chains = append(m.chains, r.chainOf(i, days, until, covers[i]))
		m.minutes = append(m.minutes, t.Hands)
		m.whole = append(m.whole, t.Minutes())
		m.stretch = append(m.stretch, m.stretches(r, i))
		m.fixed = append(m.fixed, nil)
		if t.On != 0 {
			s := r.slotOn(t.On)
			m.fixed[i] = []int{s}
			fixed[s] = append(fixed[s], i)
		}
	}
	for s := range m.room {
		if r.spare != nil {
			m.room[s] = min(m.room[s], r.spare[s])
		}
		m.room[s] = max(m.room[s], m.clock.elapsed(fixed[s]))
	}
	if m.effort == 0 {
		steps := 0
		for _, c := range m.chains {
			for _, row := range c.steps {
				steps += len(row)
			}
		}
		m.effort = max(UsualEffort, usualLooks*steps)
		if m.n*len(m.chains) <= sweepable {
			m.effort = max(2*UsualEffort, usualLooks*steps) // such a plan can be proven the best
		} else if r.wasPublished() {
			m.effort /= 2
		}
	}
	return m
}

// date gives the day of a slot.
func (r *Request) date(slot int) record.Date {
	if r.dates == nil {
		return r.Slots[slot].Date()
	}
	return r.dates[slot]
}

// slotOn gives the first slot on a day; -1 for none.
func (r *Request) slotOn(day record.Date) int {
	for i := range r.Slots {
		if r.date(i) == day {
			return i
		}
	}
	return -1
}

// days counts the days of the slots from today.
func (r *Request) days() []float64 {
	days := make([]float64, len(r.Slots))
	for i := range days {
		days[i] = r.dayOf(i)
	}
	return days
}

// soonDays is within how many days a slot that can hold a task is soon enough,
// whatever its late date. Assumption.
const soonDays = 28

// stretches tells whether a task finds no slot that can hold it up to its late
// date, nor within some weeks: then it may stand alone in one that is too short.
func (m *model) stretches(r *Request, t int) bool {
	late := r.Today + soonDays
	if r.Tasks[t].Late != 0 {
		late = max(late, r.Tasks[t].Late)
	}
	elapsed := m.clock.elapsed([]int{t})
	for i := range r.Slots {
		if r.Slots[i].Minutes+roomy >= elapsed && r.date(i) <= late {
			return false
		}
	}
	return true
}

// isFixed tells whether a task is fixed in a slot.
func (m *model) isFixed(t, slot int) bool { return slices.Contains(m.fixed[t], slot) }

// fix leaves a task no way but one. Its chain is another model's as well, and stays as it
// is for that.
func (m *model) fix(t int, way []int) {
	c := &m.chains[t]
	if m.held[t] {
		*c = m.free[t]
	}
	m.free[t] = *c
	c.end, c.steps = slices.Clone(c.end), slices.Clone(c.steps)
	at, ahead := 0, way
	for from, row := range c.steps {
		next := -1
		if from == at && len(ahead) > 0 {
			next, ahead = ahead[0], ahead[1:]
			at = next + 1
			c.end[from] = noStep
		}
		c.steps[from] = make([]float64, len(row))
		for j, step := range row {
			c.steps[from][j] = noStep
			if c.first[from]+j-1 == next {
				c.steps[from][j] = step
			}
		}
	}
	m.fixed[t], m.held[t] = way, true
}

// holds tells whether a slot holds a set of tasks, in order: it lasts as long as
// the set takes, or the set is one task alone that no slot could hold in time.
func (m *model) holds(set []int, slot int) bool {
	if len(set) == 1 && m.stretch[set[0]] && m.room[slot] > 0 {
		return true
	}
	whole := m.heating
	for _, t := range set {
		whole += m.whole[t]
	}
	return whole <= m.room[slot]+roomy || m.clock.elapsed(set) <= m.room[slot]+roomy
}

// addKinds numbers the states that tasks share.
func (m *model) addKinds(r *Request) {
	var states []State
	for _, t := range r.Tasks {
		states = append(states, t.States...)
	}
	slices.SortFunc(states, func(a, b State) int { return cmp.Or(cmp.Compare(a.Of, b.Of), cmp.Compare(a.Name, b.Name)) })
	states = slices.Compact(states)
	states = slices.DeleteFunc(states, func(s State) bool { return r.Prices.state(s.Name) == 0 })
	m.price = []float64{r.Prices.Sitting}
	m.members = make([][]int, 1+len(states))
	for _, s := range states {
		m.price = append(m.price, r.Prices.state(s.Name))
	}
	for i, t := range r.Tasks {
		kinds := []int{0}
		for k, s := range states {
			if slices.Contains(t.States, s) {
				kinds = append(kinds, k+1)
			}
		}
		places := make([]int, len(kinds))
		for j, k := range kinds {
			places[j] = len(m.members[k])
			m.members[k] = append(m.members[k], i)
		}
		m.kinds, m.member = append(m.kinds, kinds), append(m.member, places)
	}
}

// walker finds the cheapest way through one chain after another, in memory
// that is used again.
type walker struct {
	cost []float64
	from []int
}

func newWalker(n int) *walker {
	return &walker{cost: make([]float64, n+2), from: make([]int, n+2)}
}

// walkWithin gives the cheapest way through a chain where each slot costs what tolls
// say on top, and its price. It takes no step but those within some spans, by node left;
// all where there are none. The slots of the way are added to way, in order. Where it
// would cost more than most, any price above that will do: nodes from which no way is
// cheaper are passed over, and effort counts the steps there are, so that it does not hang
// on how many are. Where most is without end none is.
func (m *model) walkWithin(w *walker, c *chain, spans []span, tolls []float64, most float64, way []int) (float64, []int) {
	n := c.n
	bounded := !math.IsInf(most, 1)
	if bounded {
		most = min(most, c.dive(spans, tolls)) + closeEnough
	}
	cost, from := w.cost, w.from
	for i := range cost {
		cost[i] = noStep
	}
	cost[0] = 0
	end, endFrom := noStep, 0
	for i := 0; i <= n; i++ {
		row, to := c.steps[i], c.first[i]
		if spans != nil {
			s := spans[i]
			row, to = row[s.from:s.to], to+s.from
		}
		here := cost[i]
		if i > 0 {
			if math.IsInf(tolls[i-1], 1) {
				cost[i] = noStep
				continue
			}
			here += tolls[i-1]
			cost[i] = here
		}
		if bounded {
			m.looked += len(row) * 5 / 8 // about as many would be looked at
		}
		if here >= end || here+c.rest[i] > most {
			continue // to let it be is cheaper already; steps cost nothing below zero
		}
		if !bounded {
			m.looked += len(row)
		}
		reached, by := cost[to:to+len(row)], from[to:to+len(row)]
		for j, step := range row {
			if x := here + step; x < reached[j] {
				reached[j], by[j] = x, i
			}
		}
		if x := here + c.end[i]; x < end {
			end, endFrom = x, i
		}
	}
	if math.IsInf(end, 1) {
		return end, way
	}
	at := len(way)
	for i := endFrom; i > 0; i = from[i] {
		way = append(way, i-1)
	}
	slices.Reverse(way[at:])
	return end, way
}

// along gives the price of a way through a chain without what is shared.
func (c *chain) along(way []int) float64 {
	sum, at := 0.0, 0
	for _, slot := range way {
		sum += c.step(at, slot)
		at = slot + 1
	}
	return sum + c.end[at]
}
