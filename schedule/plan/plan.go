package plan

import (
	"cmp"
	"context"
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
	Booked       []BookedVisit
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
	Long      bool      // longer than the slot: no preferred time could hold it, or for what is brief or for safety
	Brief     []string  // what is soon done and past its day, for which it runs over its slot
	Safety    []string  // what is soon done and somebody's safety hangs on, for which it runs over its slot
}

// Turn is a task done in a sitting, or at a visit.
type Turn struct {
	Task    string
	Number  int      // 1 for the next turn, 2 for the one after it
	Minutes float64  // that it takes by itself, waits among it
	Risk    float64  // probability that its limit is passed by then
	Unused  float64  // share of its life thrown away
	Late    float64  // days it is late, on the average over the worlds
	Pinned  bool     // the owner fixed the day
	Behind  bool     // it is caught up with
	Covers  []string // tasks that count as done with it

	Standing Standing // why it stands weeks from its likely day, where it does
}

// Elapsed gives the minutes of a sitting from its beginning to its end, heating,
// cooling and waits included.
func (s Sitting) Elapsed() float64 { return s.Timetable.Elapsed() }

// Next gives the sitting of the next turn of a task, or the one in which another
// covers it first; false where it has none.
func (p Plan) Next(task string) (Sitting, Turn, bool) {
	for _, s := range p.Sittings {
		for _, t := range s.Turns {
			if t.Task == task && t.Number == 1 || slices.Contains(t.Covers, task) {
				return s, t, true
			}
		}
	}
	return Sitting{}, Turn{}, false
}

// Visit gives the appointment of the next turn of a task; false where it has
// none.
func (p Plan) Visit(task string) (Appointment, bool) {
	for _, a := range p.Appointments {
		for _, t := range a.Turns {
			if t.Task == task && t.Number == 1 {
				return a, true
			}
		}
	}
	return Appointment{}, false
}

// Days gives the days a task's own turns are planned for, in order, visits among
// them.
func (p Plan) Days(task string) []record.Date {
	var all []record.Date
	for _, s := range p.Sittings {
		for _, t := range s.Turns {
			if t.Task == task {
				all = append(all, s.Date())
			}
		}
	}
	for _, a := range p.Appointments {
		for _, t := range a.Turns {
			if t.Task == task {
				all = append(all, a.On)
			}
		}
	}
	if b, ok := p.BookedFor(task); ok {
		all = append([]record.Date{b.On}, all...)
	}
	return all
}

// Make plans. What is routine gets its rounds, what is booked its visits, and
// what the owner does its sittings: slots are chosen for the turns of all tasks so
// as to cost the owner the least, and it is said how close to the least that is
// known to be. The same request gives the same plan. It stops soon after the context
// ends, with its cause.
func Make(ctx context.Context, request *Request) (Plan, error) {
	settled := *request
	r := &settled
	for _, s := range r.Slots {
		r.dates = append(r.dates, s.Date())
	}
	if n := len(r.Slots); n > 0 {
		r.Until = max(r.Until, r.dates[n-1]+1)
	}
	visits := r.takeBooked()
	beyond := r.takeBeyond()
	routine, booked := r.sortOut()
	r.clock, r.known = newClock(r), make([]knownChain, len(r.Tasks))
	unheard := r.hear()
	up := r.catchUp()
	m, s := r.solve(ctx)
	if err := context.Cause(ctx); err != nil {
		return Plan{}, err
	}
	p := r.plan(m, s)
	p.Routine, p.Appointments, p.Booked, p.CatchUp = r.routine(routine), r.appointments(booked), visits, up
	p.CannotMeet = slices.Concat(beyond, unheard, r.cannotMeet(m, s.d))
	return p, nil
}

// sortOut leaves what the owner does in sittings, and gives what is routine and
// what is booked. What the owner fixed on a day is no routine.
func (r *Request) sortOut() (routine, booked []Task) {
	var own []Task
	for _, t := range r.Tasks {
		switch {
		case t.Visit:
			booked = append(booked, t)
		case t.On == 0 && t.IsRoutine(r.Today):
			routine = append(routine, t)
		default:
			own = append(own, t)
		}
	}
	r.Tasks = own
	return routine, booked
}

// hear takes out pins on days without a slot, which nothing could hold to, and
// says so.
func (r *Request) hear() []CannotMeet {
	var unheard []CannotMeet
	for i := range r.Tasks {
		t := &r.Tasks[i]
		if t.On != 0 && r.slotOn(t.On) < 0 {
			unheard = append(unheard, CannotMeet{
				Task: t.ID, Turn: 1, Reason: fmt.Sprintf("You fixed it on %s, which is blocked now.", t.On.Long()),
				WayOut: "Fix it on another day, or leave its day to the plan.",
			})
			t.On = 0
		}
		if t.On == 0 && t.First > t.After && r.slotOn(t.First) >= 0 {
			t.On, t.settled = t.First, true
		}
	}
	return unheard
}

// mostRounds bounds how often tasks are planned anew around what covers them.
const mostRounds = 3

// solve finds the turns of all tasks. Where turns of one task cover another, it
// does so again: what covers keeps its turns, and everything else is planned anew
// around them, until nothing more is covered than was taken to be.
func (r *Request) solve(ctx context.Context) (*model, *search) {
	m := newModel(r, nil)
	m.ctx = ctx
	whole := m.effort
	if slices.ContainsFunc(r.Tasks, func(t Task) bool { return len(r.present(t.Covers)) > 0 }) {
		m.effort = whole / 3 // the rest is for planning around what covers
	}
	s := r.search(m, nil)
	for round := 1; round <= mostRounds && ctx.Err() == nil; round++ {
		next := r.covers(s)
		if slices.EqualFunc(next, m.covers, slices.Equal) {
			break
		}
		r.uncover(next)
		looked, ways := m.looked, s.d.copyWays()
		m = newModel(r, next)
		m.ctx = ctx
		m.looked, m.effort, m.last = looked, looked+2*whole/3, round == mostRounds
		for t, way := range ways {
			if len(r.Tasks[t].Covers) > 0 {
				m.fix(t, way)
			}
		}
		s = r.search(m, ways)
	}
	return m, s
}

// search looks for the best plan of a model, from the plan published last and
// from a hint where there is one, and sees that it keeps the rules.
func (r *Request) search(m *model, hint [][]int) *search {
	pinned := make([]bool, len(r.Tasks))
	start := make([][]int, len(r.Tasks))
	started := false
	for i, t := range r.Tasks {
		pinned[i] = len(m.fixed[i]) > 0
		for s := range r.Slots {
			if slices.Contains(t.Published, r.date(s)) {
				start[i], started = append(start[i], s), true
			}
		}
	}
	if !started {
		start = nil
	}
	s := solve(m, pinned, start, hint)
	if r.Proof > 0 {
		s.prove(r.Proof)
	}
	s.d.setAll(s.best)
	s.giveWay(r)
	s.d.heal(r, s.order)
	s.bring(r)
	s.secure(r)
	s.nearer(r)
	s.d.heal(r, s.order)
	s.cost = s.d.cost()
	return s
}

// covers lists, by task, the slots in which a turn of another task covers it.
func (r *Request) covers(s *search) [][]int {
	covers := make([][]int, len(r.Tasks))
	for i := range r.Tasks {
		for j := range r.Tasks {
			if slices.Contains(r.Tasks[j].Covers, r.Tasks[i].ID) {
				covers[i] = append(covers[i], s.d.ways[j]...)
			}
		}
		slices.Sort(covers[i])
		covers[i] = slices.Compact(covers[i])
	}
	return covers
}

// uncover takes out the pins of tasks that are covered on the very day.
func (r *Request) uncover(covers [][]int) {
	for i := range r.Tasks {
		t := &r.Tasks[i]
		if t.On != 0 && slices.ContainsFunc(covers[i], func(s int) bool { return r.date(s) == t.On }) {
			t.On, t.settled = 0, false
		}
	}
}

// plan writes what was found as sittings.
func (r *Request) plan(m *model, s *search) Plan {
	p := Plan{Cost: s.d.cost(), Bound: s.bound, Strain: s.d.strained()}
	turns := make([][]Turn, m.n)
	for i := range r.Tasks {
		t := &r.Tasks[i]
		at := t.start(r.Today)
		sunk := at.turn(t, &r.Prices, 0).Harm // of lateness up to today, which no plan can help
		events := r.events(s.d.ways[i], m.covers[i])
		for number, e := range events {
			on := r.date(e.slot)
			day := float64(on - r.Today)
			priced := at.turn(t, &r.Prices, day)
			p.Harm += max(0, priced.Harm-sunk)
			standing := NearItsDay
			if !e.covered && (number > 0 || t.On == 0) {
				standing = r.standing(m, s, i, &at, events, number, sunk)
			}
			sunk = 0
			at = t.fresh(on, r.Today)
			if e.covered {
				continue
			}
			first := number == 0 && t.On != 0 && on == t.On
			turns[e.slot] = append(turns[e.slot], Turn{
				Task: t.ID, Number: number + 1 + t.ahead, Minutes: t.Minutes(), Risk: priced.Risk, Unused: priced.Unused, Late: priced.Days,
				Pinned: first && !t.settled, Behind: first && t.settled && t.On != t.First, Covers: r.present(t.Covers),
				Standing: standing,
			})
			p.Waste += priced.Waste
		}
	}
	machines := m.clock.names(r)
	for slot, list := range turns {
		if len(list) == 0 {
			continue
		}
		sitting := Sitting{Slot: r.Slots[slot], States: r.statesOf(list), Timetable: m.clock.timetable(s.d.sets[slot], machines, m.room[slot])}
		sitting.Turns = sitting.Timetable.sort(list)
		sitting.Long = sitting.Elapsed() > sitting.Minutes+roomy
		if sitting.Long {
			sitting.Brief, sitting.Safety = r.overFor(m, s.d.sets[slot], slot)
		}
		p.Open += r.Prices.Sitting
		for _, st := range sitting.States {
			p.States += r.Prices.state(st.Name)
		}
		p.Sittings = append(p.Sittings, sitting)
	}
	return p
}

// event is a turn of a task, or of another that covers it.
type event struct {
	slot    int
	covered bool
}

// events lists a task's turns and covers in order.
func (r *Request) events(way, covers []int) []event {
	var all []event
	for _, s := range way {
		all = append(all, event{slot: s})
	}
	for _, s := range covers {
		all = append(all, event{slot: s, covered: true})
	}
	slices.SortFunc(all, func(a, b event) int { return cmp.Compare(a.slot, b.slot) })
	return all
}

// present gives those of some tasks that the request is about.
func (r *Request) present(ids []string) []string {
	var there []string
	for _, id := range ids {
		if slices.ContainsFunc(r.Tasks, func(t Task) bool { return t.ID == id }) {
			there = append(there, id)
		}
	}
	return there
}

// sort puts turns into the order in which a timetable begins them.
func (t Timetable) sort(turns []Turn) []Turn {
	begins := map[string]int{}
	for i, s := range slices.Backward(t) {
		if s.What == Working {
			begins[s.Task] = i
		}
	}
	slices.SortStableFunc(turns, func(a, b Turn) int { return cmp.Compare(begins[a.Task], begins[b.Task]) })
	return turns
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
