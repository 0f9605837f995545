package plan

import (
	"math"
	"slices"
)

// Standing is why a turn stands weeks from its likely day: what would cost most if it
// were moved to the slot nearest that day, and all else stayed.
type Standing int

// Standings of a turn.
const (
	NearItsDay   Standing = iota // within farDays of its likely day, or nobody chose the day
	RatherEarly                  // before it: to be late would cost more than the life given up
	CanWait                      // after it: waiting costs less than the life that it saves
	SharesBest                   // before it: a sitting of its own nearer its day would cost more
	NoRoomNear                   // what stands nearer its day leaves no room
	NoSlotNear                   // no slot lies nearer its day
	KeepsPlace                   // it stands where it was published, and small news move nothing
	SuitsLater                   // the turns after it would be late, or done long before their time
	NoReason                     // moved nearer its day it would cost less
	FirstFromNow                 // past its likely day, and no slot comes before
	WaitsToShare                 // after it: a sitting of its own sooner would cost more
	SharesLater                  // the turns after it would take sittings of their own
)

// Early reports whether it is the reason for a day before the likely one.
func (s Standing) Early() bool { return s == RatherEarly || s == SharesBest }

// Waits reports whether it is the reason for a day after the likely one.
func (s Standing) Waits() bool { return s == CanWait || s == WaitsToShare || s == FirstFromNow }

// farDays is how far from its likely day a turn must stand for a person to ask why.
// Assumption: three weeks.
const farDays = 21

// moved is what a turn would cost more on another day, in minutes, with all turns of the
// task behind it where they are then best.
type moved struct {
	harm, waste, shared float64 // of the turn
	kept                float64 // for leaving what was published
	later, laterShared  float64 // of the turns behind it: harm and waste, and what they open
}

func (v moved) sum() float64 {
	return v.harm + v.waste + v.shared + v.kept + v.later + v.laterShared
}

// standing tells why the turn of a task stands in a slot, where the part is as at says, and
// the task has the turns and covers of events, of which this is the i-th.
func (r *Request) standing(m *model, s *search, task int, at *sums, events []event, i int, sunk float64) Standing {
	here, likely := events[i].slot, at.due[LikelyQuantile]
	day := r.dayOf(here)
	if math.Abs(day-likely) < farDays || likely >= beyondDays {
		return NearItsDay
	}
	nearest, full := r.nearest(m, s, task, likely, events, i)
	if nearest == here {
		switch {
		case full:
			return NoRoomNear
		case likely <= 0:
			return FirstFromNow
		}
		return NoSlotNear
	}
	v, _ := r.moved(m, s, task, events, i, sunk, nearest)
	return v.standing(day < likely, full)
}

// nearest gives the slot nearest to the likely day of a turn, between those before and
// behind it, that has room for it, and whether a nearer one has none; its own where there
// is no other.
func (r *Request) nearest(m *model, s *search, task int, likely float64, events []event, i int) (nearest int, full bool) {
	nearest = events[i].slot
	from, to := 0, len(r.Slots)-1
	if i > 0 {
		from = events[i-1].slot + 1
	}
	if i+1 < len(events) {
		to = events[i+1].slot - 1
	}
	for slot := from; slot <= to; slot++ {
		away := math.Abs(r.dayOf(slot) - likely)
		if away >= math.Abs(r.dayOf(nearest)-likely) || i == 0 && !r.Tasks[task].allows(r.date(slot)) {
			continue
		}
		if !m.holds(toggle(slices.Clone(s.d.sets[slot]), task), slot) {
			full = true
			continue
		}
		nearest = slot
	}
	return nearest, full
}

// dayOf gives the day of a slot, counted from today.
func (r *Request) dayOf(slot int) float64 { return float64(r.date(slot) - r.Today) }

// suffix is what is ahead of a task: the turns and covers from one of them on.
type suffix struct {
	node  int     // of the turn before
	cover []int   // slots of covers
	way   []int   // slots of turns
	sunk  float64 // of lateness up to today, which no turn helps
}

// moved prices the i-th of a task's turns and covers in another slot, and gives the turns
// from there on: whoever moves a turn moves the next ones as well.
func (r *Request) moved(m *model, s *search, task int, events []event, i int, sunk float64, slot int) (moved, []int) {
	d, c := s.d, &m.chains[task]
	if m.held[task] { // it is left no other way now; there were others
		c = &r.known[task].chain
	}
	node, way := 0, d.ways[task]
	if i > 0 {
		node = events[i-1].slot + 1
	}
	for len(way) > 0 && way[0] < node {
		way = way[1:]
	}
	d.tollsWithRoom(task)
	here := suffix{node: node, cover: m.covers[task], way: way, sunk: sunk}
	there := here
	there.way = c.bestFrom(slot+1, d.toll, []int{slot})
	a, b := r.weigh(c, d.toll, there), r.weigh(c, d.toll, here)
	return moved{
		harm: a.harm - b.harm, waste: a.waste - b.waste, shared: a.shared - b.shared, kept: a.kept - b.kept,
		later: a.later - b.later, laterShared: a.laterShared - b.laterShared,
	}, there.way
}

// bestFrom gives the cheapest way from a node on, added to one that led there.
func (c *chain) bestFrom(node int, tolls []float64, way []int) []int {
	back, next := make([]float64, c.n+1), make([]int, c.n+1)
	for i := c.n; i >= node; i-- {
		back[i], next[i] = c.end[i], -1
		for j, step := range c.steps[i] {
			to := c.first[i] + j
			if x := step + tolls[to-1] + back[to]; x < back[i] {
				back[i], next[i] = x, to
			}
		}
	}
	for at := next[node]; at >= 0; at = next[at] {
		way = append(way, at-1)
	}
	return way
}

// weigh says what a suffix costs: of its first turn harm, waste and what it opens; of those
// behind it all together; and what is for leaving what was published.
func (r *Request) weigh(c *chain, tolls []float64, x suffix) moved {
	var v moved
	whole, at := 0.0, x.node
	for _, slot := range x.way {
		whole += c.step(at, slot)
		at = slot + 1
	}
	whole += c.end[at]
	last := float64(r.Until - r.Today)
	part, sunk, first := c.after(x.node), x.sunk, true
	from, _ := slices.BinarySearch(x.cover, x.node)
	parts := 0.0
	for _, e := range r.events(x.way, x.cover[from:]) {
		priced := part.turn(c.task, &r.Prices, c.days[e.slot])
		harm, waste, shared := max(0, priced.Harm-sunk)+priced.Past, priced.Waste, 0.0
		if e.covered {
			waste = 0
		} else {
			shared = tolls[e.slot]
		}
		parts += harm + waste
		if first {
			v.harm, v.waste, v.shared = harm, waste, shared
		} else {
			v.later += harm + waste
			v.laterShared += shared
		}
		part, sunk, first = c.after(e.slot+1), 0, false
	}
	end := part.turn(c.task, &r.Prices, last)
	rest := max(0, end.Harm-sunk) + end.Past + r.missing(c.task, &part, c.days, last)
	v.later += rest
	if v.kept = whole - parts - rest; math.IsInf(v.kept, 1) {
		v.kept = 0 // its slot was chosen by a rule
	}
	return v
}

// step gives the price of a step from a node to a slot.
func (c *chain) step(from, slot int) float64 {
	if i := slot + 1 - c.first[from]; i < len(c.steps[from]) {
		return c.steps[from][i]
	}
	return noStep
}

// standing names what weighs most of what speaks against moving it.
func (v moved) standing(early, full bool) Standing {
	switch most := max(v.harm, v.waste, v.shared, v.kept, v.later, v.laterShared); {
	case v.sum() < -roomy && full:
		return NoRoomNear
	case v.sum() < -roomy:
		return NoReason
	case most == v.harm && early:
		return RatherEarly
	case most == v.shared && early:
		return SharesBest
	case most == v.shared:
		return WaitsToShare
	case most == v.kept:
		return KeepsPlace
	case most == v.laterShared:
		return SharesLater
	case most == v.later:
		return SuitsLater
	}
	return CanWait
}
