package plan

import (
	"cmp"
	"math"
	"slices"
)

// clock works out how long the work of a sitting takes: one person's hands at
// one thing at a time, and waits, heating and cooling beside it.
type clock struct {
	jobs     []job
	machines []Machine
	known    map[string]float64 // by set of jobs: minutes of the shorter way
	key      []byte
	orders   [2][]ordering // by way, job and other job
	state    []running     // of the set that is laid out
	changed  []float64     // when each machine has its second temper; +Inf for not yet
}

// ordering is how a job has to wait for another of its sitting before it is begun.
type ordering struct {
	unbegun bool // while the other is not begun
	begun   bool // while the other is begun and not over
}

// job is a task's work as a clock sees it.
type job struct {
	id      string
	hands   []float64 // stretches of hands; after each but the last there is a wait
	waits   []float64
	waiting []float64 // by stretch: minutes of waits from there on
	notes   []string
	whole   float64 // hands and waits end to end
	machine int     // -1 for none
	temper  string  // Hot, Cold or neither
	of      string
	order   int
	acid    bool
	heats   bool
	cuts    bool
}

// newClock reads the work of tasks.
func newClock(r *Request) *clock {
	c := &clock{known: map[string]float64{}}
	index := map[string]int{}
	for i := range r.Tasks {
		t := &r.Tasks[i]
		j := job{id: t.ID, whole: t.Minutes(), machine: -1, of: t.Of, order: t.Order, acid: t.Acid, heats: t.Heats, cuts: t.Cuts}
		done := 0.0
		for _, w := range t.Waits {
			j.hands = append(j.hands, w.After-done)
			j.waits, j.notes = append(j.waits, w.Minutes), append(j.notes, w.For)
			done = w.After
		}
		j.hands = append(j.hands, t.Hands-done)
		j.waits, j.notes = append(j.waits, 0), append(j.notes, "")
		for _, s := range t.States {
			if s.Name != Hot && s.Name != Cold {
				continue
			}
			j.temper = s.Name
			m, ok := index[s.Of]
			if !ok {
				m = len(c.machines)
				index[s.Of] = m
				c.machines = append(c.machines, r.Machines[s.Of])
			}
			j.machine = m
		}
		for i := range len(j.waits) + 1 {
			sum := 0.0
			for _, w := range j.waits[i:] {
				sum += w
			}
			j.waiting = append(j.waiting, sum)
		}
		c.jobs = append(c.jobs, j)
	}
	c.changed = make([]float64, len(c.machines))
	return c
}

// names gives the ids of the machines.
func (c *clock) names(r *Request) []string {
	names := make([]string, len(c.machines))
	for i := range r.Tasks {
		for _, s := range r.Tasks[i].States {
			if m := c.jobs[i].machine; m >= 0 && s.Name == c.jobs[i].temper {
				names[m] = s.Of
			}
		}
	}
	return names
}

// way is one of the two ways to lay out a sitting.
type way bool

const (
	hotFirst  way = false // machines are hot when it begins; they cool down within it where cold work follows
	coldFirst way = true  // machines with cold work were switched off in time before; they heat up where hot work follows
)

// elapsed gives the minutes that a set of jobs takes the shorter way.
func (c *clock) elapsed(set []int) float64 {
	if len(set) == 0 {
		return 0
	}
	c.key = c.key[:0]
	for _, j := range set {
		c.key = append(c.key, byte(j), byte(j>>8))
	}
	if minutes, ok := c.known[string(c.key)]; ok {
		return minutes
	}
	minutes := min(c.run(set, hotFirst, nil), c.run(set, coldFirst, nil))
	c.known[string(c.key)] = minutes
	return minutes
}

// timetable lays out a set of jobs for a slot. Hot work stands before cold or
// after it, whichever is shorter; where there is no hot work, machines cool down
// within the sitting if it is long enough for that.
func (c *clock) timetable(set []int, machines []string, room float64) Timetable {
	hot, cold := c.run(set, hotFirst, nil), c.run(set, coldFirst, nil)
	chosen := coldFirst
	if hot <= cold || hot <= room+roomy && !c.mixed(set) {
		chosen = hotFirst
	}
	var t Timetable
	c.run(set, chosen, func(s Step, machine int) {
		if machine >= 0 {
			s.Of = machines[machine]
		}
		t = append(t, s)
	})
	slices.SortStableFunc(t, func(a, b Step) int { return cmp.Compare(a.From, b.From) })
	return t
}

// mixed tells whether a machine has both hot and cold work in a set.
func (c *clock) mixed(set []int) bool {
	return slices.ContainsFunc(set, func(a int) bool {
		return c.jobs[a].temper == Hot && slices.ContainsFunc(set, func(b int) bool { return c.jobs[b].temper == Cold && c.jobs[b].machine == c.jobs[a].machine })
	})
}

// running is how far a job of a sitting has come.
type running struct {
	*job
	n       int
	stretch int     // the stretch of hands that comes next
	ready   float64 // when it can be begun
	on      float64 // of work that heats the machine: when it was switched on for it
}

func (r *running) begun() bool { return r.stretch > 0 }
func (r *running) over() bool  { return r.stretch == len(r.hands) }

// run lays out a set of jobs one way and gives the minutes it takes. At each
// moment hands take up what can be done: first what a machine's heating or
// cooling waits for, then what has the longest wait before it, then by order.
func (c *clock) run(set []int, w way, tell func(Step, int)) float64 {
	c.state = c.state[:0]
	for _, j := range set {
		c.state = append(c.state, running{job: &c.jobs[j], n: j})
	}
	state, changed, orders := c.state, c.changed, c.ordersOf(w)
	for m := range changed {
		changed[m] = c.begin(state, m, w, tell)
	}
	now, end := 0.0, 0.0
	for {
		next := -1
		soonest := math.Inf(1)
		for i := range state {
			at := c.from(state, i, w, changed, orders)
			if at > now {
				soonest = min(soonest, at)
			} else if next < 0 || before(&state[i], &state[next], w) {
				next = i
			}
		}
		if next < 0 {
			if math.IsInf(soonest, 1) {
				return c.ended(state, end)
			}
			now = soonest
			continue
		}
		s := &state[next]
		hands, wait := s.hands[s.stretch], s.waits[s.stretch]
		if tell != nil && hands > 0 {
			tell(Step{From: now, Minutes: hands, What: Working, Task: s.id}, -1)
		}
		if s.stretch == 0 {
			s.on = now
			if wait > 0 {
				s.on += hands
			}
		}
		now += hands
		if tell != nil && wait > 0 {
			tell(Step{From: now, Minutes: wait, What: Waiting, Task: s.id, Note: s.notes[s.stretch]}, -1)
		}
		s.stretch, s.ready = s.stretch+1, now+wait
		end = max(end, s.ready)
		if s.over() && s.machine >= 0 {
			c.change(state, s.machine, w, changed, tell)
		}
	}
}

// ended gives the end of a sitting; without end where jobs wait for each other.
func (c *clock) ended(state []running, end float64) float64 {
	if slices.ContainsFunc(state, func(r running) bool { return !r.over() }) {
		return math.Inf(1)
	}
	return end
}

// tempers gives the temper in which a machine is first, and then.
func (w way) tempers() (first, then string) {
	if w == hotFirst {
		return Hot, Cold
	}
	return Cold, Hot
}

// begin gives when a machine has its second temper, as the sitting begins: at
// once where it is not needed in the first, else not before that work is over.
func (c *clock) begin(state []running, m int, w way, tell func(Step, int)) float64 {
	first, then := w.tempers()
	early := slices.ContainsFunc(state, func(r running) bool { return r.machine == m && r.temper == first })
	late := slices.ContainsFunc(state, func(r running) bool { return r.machine == m && r.temper == then })
	switch {
	case early:
		if tell != nil {
			c.tellBefore(m, first, tell)
		}
		return math.Inf(1)
	case !late:
		return 0
	case w == coldFirst: // only hot work: it is hot already, as the other way
		if tell != nil {
			c.tellBefore(m, Hot, tell)
		}
		return 0
	}
	if tell != nil {
		c.tellChange(m, 0, w, tell)
	}
	return c.machines[m].CoolMinutes
}

// change sets when a machine has its second temper, once all its work in the
// first is over. Work that heats it leaves it on.
func (c *clock) change(state []running, m int, w way, changed []float64, tell func(Step, int)) {
	first, then := w.tempers()
	at, on := 0.0, math.Inf(1)
	for i := range state {
		if r := &state[i]; r.machine == m && r.temper == first {
			if !r.over() {
				return
			}
			at = max(at, r.ready)
			if r.heats {
				on = min(on, r.on)
			}
		}
	}
	if !math.IsInf(changed[m], 1) || !slices.ContainsFunc(state, func(r running) bool { return r.machine == m && r.temper == then }) {
		return
	}
	switch {
	case w == coldFirst && on <= at: // it is hot, or on its way there
		changed[m] = max(at, on+c.machines[m].HeatMinutes)
		if tell != nil && changed[m] > at {
			tell(Step{From: at, Minutes: changed[m] - at, What: Heating}, m)
		}
		return
	case w == coldFirst:
		changed[m] = at + c.machines[m].HeatMinutes
	default:
		changed[m] = at + c.machines[m].CoolMinutes
	}
	if tell != nil {
		c.tellChange(m, at, w, tell)
	}
}

// tellBefore tells what must have been done before a sitting begins.
func (c *clock) tellBefore(m int, temper string, tell func(Step, int)) {
	if temper == Hot {
		tell(Step{From: -c.machines[m].HeatMinutes, What: SwitchOn}, m)
		return
	}
	tell(Step{From: -c.machines[m].CoolMinutes, What: SwitchOff}, m)
}

// tellChange tells of a machine's switching, and of the cooling or heating that
// follows.
func (c *clock) tellChange(m int, at float64, w way, tell func(Step, int)) {
	if w == hotFirst {
		tell(Step{From: at, What: SwitchOff}, m)
		tell(Step{From: at, Minutes: c.machines[m].CoolMinutes, What: Cooling}, m)
		return
	}
	tell(Step{From: at, What: SwitchOn}, m)
	tell(Step{From: at, Minutes: c.machines[m].HeatMinutes, What: Heating}, m)
}

// from gives when the next hands of a job can be laid on; +Inf for not before
// something else was done.
func (c *clock) from(state []running, i int, w way, changed []float64, orders []ordering) float64 {
	r := &state[i]
	if r.over() {
		return math.Inf(1)
	}
	at := r.ready
	if _, then := w.tempers(); r.machine >= 0 && r.temper == then {
		at = max(at, changed[r.machine])
	}
	if r.begun() {
		return at
	}
	row := orders[r.n*len(c.jobs):]
	for k := range state {
		o := &state[k]
		switch order := row[o.n]; {
		case !o.begun():
			if order.unbegun {
				return math.Inf(1)
			}
		case order.begun:
			if !o.over() {
				return math.Inf(1)
			}
			at = max(at, o.ready)
		}
	}
	return at
}

// ordersOf gives, job by job, how each has to wait for each other where a sitting is laid
// out one way.
func (c *clock) ordersOf(w way) []ordering {
	k := 0
	if w == coldFirst {
		k = 1
	}
	if n := len(c.jobs); c.orders[k] == nil {
		c.orders[k] = make([]ordering, n*n)
		for i := range c.jobs {
			for j := range c.jobs {
				if i != j {
					c.orders[k][i*n+j] = waitsFor(&c.jobs[i], &c.jobs[j], w)
				}
			}
		}
	}
	return c.orders[k]
}

// waitsFor says how a job has to wait for another.
func waitsFor(r, o *job, w way) ordering {
	_, then := w.tempers()
	same := o.of == r.of
	later := o.machine >= 0 && o.machine == r.machine && r.temper != then && o.temper == then // it cannot wait for what waits for it
	acid := o.acid && !r.acid && !later
	behind := same && o.order < r.order
	var order ordering
	switch {
	case acid && (r.order >= LastOrder || behind): // acid comes first, and nothing else is done while it stands
		return ordering{unbegun: true, begun: true}
	case r.heats && !o.heats && o.machine == r.machine && o.temper == Cold: // nothing else is open while it heats
		return ordering{unbegun: true, begun: true}
	case acid && same: // nothing else while acid stands
		order.begun = true
	case r.acid && !o.acid && same: // no acid where something is open
		order.begun = true
	case same && r.cuts && o.heats: // it would go cold again, and be timed in vain
		order.begun = true
	}
	order.unbegun = behind && o.temper == r.temper && (!o.heats || r.heats)
	return order
}

// before tells whether a job is taken up before another where both could be.
func before(a, b *running, w way) bool {
	first, _ := w.tempers()
	stage := func(r *running) int {
		if r.machine >= 0 && r.temper == first {
			return 0
		}
		return 1
	}
	return cmp.Or(
		cmp.Compare(stage(a), stage(b)),
		cmp.Compare(b.waiting[b.stretch], a.waiting[a.stretch]),
		cmp.Compare(a.order, b.order),
		cmp.Compare(a.id, b.id),
	) < 0
}
