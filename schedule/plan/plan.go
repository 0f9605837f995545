package plan

import (
	"cmp"
	"fmt"
	"slices"

	"limekeep/schedule/record"
)

// Plan is what was chosen: sittings over the months to come, what cannot be
// met, and how good the plan can be said to be.
type Plan struct {
	Routine      []Routine
	Sittings     []Sitting
	Appointments []Appointment
	CatchUp      *CatchUp // nil where no week would not hold what is past
	CannotMeet   []CannotMeet
	Cost         float64 // in minutes of the owner's time, by the prices
	Bound        float64 // below which no plan's cost lies
	Strain       float64 // what of the cost is for days past late dates that no slot could save
	Open         float64 // what of the cost is for sittings begun
	States       float64 // for states brought about
	Harm         float64 // for lateness, on the average over the worlds
	Waste        float64 // for life thrown away
}

// Gap is by how much the plan may cost more than the best there is, as a share
// of its cost. Days past late dates that nothing could save would make it look
// smaller, so they are left out of the cost.
func (p Plan) Gap() float64 {
	if p.Cost-p.Strain <= 0 {
		return 0
	}
	return max(0, (p.Cost-p.Bound)/(p.Cost-p.Strain))
}

// Sitting is a planned stretch of the owner's time with the tasks done in it, in
// order.
type Sitting struct {
	Slot
	Turns     []Turn
	States    []State   // brought about for it, each once
	Timetable Timetable // what happens when, heating, cooling and waits included
	Long      bool      // longer than the slot: no preferred time could hold it
}

// Turn is a task done in a sitting.
type Turn struct {
	Task    string
	Number  int     // 1 for the next turn, 2 for the one after it
	Minutes float64 // that the work takes
	Risk    float64 // probability that its limit is passed by then
	Unused  float64 // share of its life thrown away
	Late    float64 // days it is late, on the average over the worlds
	Pinned  bool    // the owner fixed the day
}

// Work sums up the minutes of a sitting's turns.
func (s Sitting) Work() float64 {
	sum := 0.0
	for _, t := range s.Turns {
		sum += t.Minutes
	}
	return sum
}

// Next gives the sitting of the next turn of a task; false where it has none.
func (p Plan) Next(task string) (Sitting, Turn, bool) {
	for _, s := range p.Sittings {
		for _, t := range s.Turns {
			if t.Task == task && t.Number == 1 {
				return s, t, true
			}
		}
	}
	return Sitting{}, Turn{}, false
}

// Days gives the days a task's turns are planned for, in order.
func (p Plan) Days(task string) []record.Date {
	var all []record.Date
	for _, s := range p.Sittings {
		for _, t := range s.Turns {
			if t.Task == task {
				all = append(all, s.Date())
			}
		}
	}
	return all
}

// Make plans: it chooses slots for the turns of all tasks so as to cost the
// owner the least, and says how close to the least that is known to be. The
// same request gives the same plan.
func Make(request *Request) Plan {
	settled := *request
	r := &settled
	if n := len(r.Slots); n > 0 {
		r.Until = max(r.Until, r.Slots[n-1].Date()+1)
	}
	unheard := r.hear()
	m := newModel(r)
	pinned := make([]bool, len(r.Tasks))
	start := make([][]int, len(r.Tasks))
	started := false
	for i, t := range r.Tasks {
		pinned[i] = t.On != 0
		for s, slot := range r.Slots {
			if slices.Contains(t.Published, slot.Date()) {
				start[i], started = append(start[i], s), true
			}
		}
	}
	if !started {
		start = nil
	}
	s := solve(m, pinned, start)
	s.d.setAll(s.best)
	s.d.heal(r, s.order)
	p := r.plan(m, s)
	p.CannotMeet = append(unheard, p.CannotMeet...)
	return p
}

// hear takes out pins on days without a slot, which nothing could hold to, and
// says so.
func (r *Request) hear() []CannotMeet {
	var unheard []CannotMeet
	r.Tasks = slices.Clone(r.Tasks)
	for i := range r.Tasks {
		t := &r.Tasks[i]
		if t.On != 0 && !slices.ContainsFunc(r.Slots, func(s Slot) bool { return s.Date() == t.On }) {
			unheard = append(unheard, CannotMeet{Task: t.ID, Turn: 1, Reason: fmt.Sprintf("You fixed it on %s, which is blocked now.", t.On.Long())})
			t.On = 0
		}
	}
	return unheard
}

// plan writes what was found as sittings.
func (r *Request) plan(m *model, s *search) Plan {
	p := Plan{Cost: s.d.cost(), Bound: s.bound, Strain: s.d.strained()}
	turns := make([][]Turn, m.n)
	for i := range r.Tasks {
		t := &r.Tasks[i]
		at := t.start(r.Today)
		sunk := at.turn(t, &r.Prices, 0, at.before(0)).Harm // of lateness up to today, which no plan can help
		for number, slot := range s.d.ways[i] {
			on := r.Slots[slot].Date()
			day := float64(on - r.Today)
			priced := at.turn(t, &r.Prices, day, at.before(day))
			turns[slot] = append(turns[slot], Turn{
				Task: t.ID, Number: number + 1, Minutes: t.Minutes, Risk: priced.Risk, Unused: priced.Unused, Late: priced.Days,
				Pinned: number == 0 && t.On != 0 && on == t.On,
			})
			p.Harm += max(0, priced.Harm-sunk)
			sunk = 0
			p.Waste += priced.Waste
			at = t.fresh(on, r.Today)
		}
	}
	order := map[string]int{}
	for _, t := range r.Tasks {
		order[t.ID] = t.Order
	}
	for slot, list := range turns {
		if len(list) == 0 {
			continue
		}
		slices.SortFunc(list, func(a, b Turn) int {
			return cmp.Or(cmp.Compare(order[a.Task], order[b.Task]), cmp.Compare(a.Task, b.Task))
		})
		sitting := Sitting{Slot: r.Slots[slot], Turns: list, States: r.statesOf(list)}
		p.Open += r.Prices.Sitting
		for _, st := range sitting.States {
			p.States += r.Prices.state(st.Name)
		}
		p.Sittings = append(p.Sittings, sitting)
	}
	p.CannotMeet = r.conflicts(m, s.d)
	return p
}

// statesOf lists the states that turns need, each once.
func (r *Request) statesOf(turns []Turn) []State {
	var states []State
	for _, t := range r.Tasks {
		if slices.ContainsFunc(turns, func(turn Turn) bool { return turn.Task == t.ID }) {
			states = append(states, t.States...)
		}
	}
	slices.SortFunc(states, func(a, b State) int { return cmp.Or(cmp.Compare(a.Of, b.Of), cmp.Compare(a.Name, b.Name)) })
	return slices.Compact(states)
}

// Risk gives the probability that a task is past its limit on a day, if it is
// not done before.
func (t *Task) Risk(on record.Date) float64 {
	n := 0
	for _, due := range t.Due {
		if due != 0 && due < on {
			n++
		}
	}
	return float64(n) / float64(len(t.Due))
}
