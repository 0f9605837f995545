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
	SuitsLater                   // the turns after it lie better so
	NoReason                     // moved nearer its day it would cost less
	FirstFromNow                 // past its likely day, and no slot comes before
	WaitsToShare                 // after it: a sitting of its own sooner would cost more
)

// Early reports whether it is the reason for a day before the likely one.
func (s Standing) Early() bool { return s == RatherEarly || s == SharesBest }

// Waits reports whether it is the reason for a day after the likely one.
func (s Standing) Waits() bool { return s == CanWait || s == WaitsToShare || s == FirstFromNow }

// farDays is how far from its likely day a turn must stand for a person to ask why.
// Assumption: three weeks.
const farDays = 21

// moved is what a turn would cost more on another day, in minutes.
type moved struct {
	harm, waste, shared, kept, later float64
}

func (v moved) sum() float64 { return v.harm + v.waste + v.shared + v.kept + v.later }

// standing tells why the turn of a task stands in a slot, where the part is as at says, and
// the task has the turns and covers of events, of which this is the i-th.
func (r *Request) standing(m *model, s *search, task int, at *sums, events []event, i int, sunk float64) Standing {
	t := &r.Tasks[task]
	here := events[i].slot
	likely := at.due[LikelyQuantile]
	day := r.dayOf(here)
	if math.Abs(day-likely) < farDays || likely >= beyondDays {
		return NearItsDay
	}
	from, to := 0, len(r.Slots)-1
	if i > 0 {
		from = events[i-1].slot + 1
	}
	if i+1 < len(events) {
		to = events[i+1].slot - 1
	}
	nearest, full := here, false
	for slot := from; slot <= to; slot++ {
		away := math.Abs(r.dayOf(slot) - likely)
		if away >= math.Abs(r.dayOf(nearest)-likely) || i == 0 && !t.allows(r.date(slot)) {
			continue
		}
		if !m.holds(toggle(slices.Clone(s.d.sets[slot]), task), slot) {
			full = true
			continue
		}
		nearest = slot
	}
	if nearest == here {
		switch {
		case full:
			return NoRoomNear
		case likely <= 0:
			return FirstFromNow
		}
		return NoSlotNear
	}
	return r.moved(m, s, task, at, events, i, sunk, nearest).standing(day < likely, full)
}

// dayOf gives the day of a slot, counted from today.
func (r *Request) dayOf(slot int) float64 { return float64(r.date(slot) - r.Today) }

// moved prices the turn in another slot.
func (r *Request) moved(m *model, s *search, task int, at *sums, events []event, i int, sunk float64, slot int) moved {
	t, prices, days := &r.Tasks[task], &r.Prices, r.days()
	here := events[i].slot
	priced := func(slot int) turn {
		day := days[slot]
		out := at.turn(t, prices, day)
		out.Harm = max(0, out.Harm-sunk) + out.Past
		return out
	}
	// What comes next starts from the day of this one.
	next := func(slot int) float64 {
		fresh := t.fresh(r.date(slot), r.Today)
		if i+1 < len(events) {
			day := days[events[i+1].slot]
			out := fresh.turn(t, prices, day)
			return out.Harm + out.Past + out.Waste
		}
		until := float64(r.Until - r.Today)
		out := fresh.turn(t, prices, until)
		return out.Harm + out.Past + r.missing(t, &fresh, days, until)
	}
	added, dropped := r.leaving(t, days)
	a, b := priced(slot), priced(here)
	return moved{
		harm: a.Harm - b.Harm, waste: a.Waste - b.Waste,
		shared: m.opening(s.d.sets[slot], task) - m.opening(s.d.sets[here], task),
		kept:   added[slot] + dropped[here] - added[here] - dropped[slot],
		later:  next(slot) - next(here),
	}
}

// opening is what a task brings to a slot's price that no other of a set brings.
func (m *model) opening(set []int, task int) float64 {
	sum := 0.0
	for _, k := range m.kinds[task] {
		alone := true
		for _, other := range set {
			alone = alone && (other == task || !slices.Contains(m.kinds[other], k))
		}
		if alone {
			sum += m.price[k]
		}
	}
	return sum
}

// standing names what weighs most of what speaks against moving it.
func (v moved) standing(early, full bool) Standing {
	switch most := max(v.harm, v.waste, v.shared, v.kept, v.later); {
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
	case most == v.later:
		return SuitsLater
	}
	return CanWait
}
