package plan

import (
	"cmp"
	"math"
	"slices"

	"limekeep/schedule/record"
)

// Appointment is work that is booked: one visit of or to those who may or can do
// it, for one piece of equipment. It takes none of the owner's slots.
type Appointment struct {
	Of     string      // id of the equipment
	Turns  []Turn      // done at the visit
	CallBy record.Date // day to call somebody by; past where that was missed
	On     record.Date // day that the visit is meant for
	By     record.Date // last day that keeps to the late dates of its tasks; On where that is past
}

// UsualLead is how many days pass from calling somebody to the visit.
// Assumption.
const UsualLead = 21

// mostVisits bounds the visits planned for one piece of equipment.
const mostVisits = 50

// appointments groups booked work into visits, equipment by equipment: the first
// on the day that the first of its tasks is likely due, with all that is due by
// then and all that may be done early without waste. A visit that was published
// keeps its day while it still serves, and none is on a day on which nobody is there.
func (r *Request) appointments(tasks []Task) []Appointment {
	var all []Appointment
	var equipment []string
	for _, t := range tasks {
		if !slices.Contains(equipment, t.Of) {
			equipment = append(equipment, t.Of)
		}
	}
	for _, of := range equipment {
		v := visits{r: r}
		for i := range tasks {
			if tasks[i].Of == of {
				v.tasks = append(v.tasks, &tasks[i])
				v.lives = append(v.lives, tasks[i].start(r.Today))
				v.counts = append(v.counts, 0)
			}
		}
		for range mostVisits {
			a, ok := v.next(of)
			if !ok {
				break
			}
			all = append(all, a)
		}
	}
	slices.SortStableFunc(all, func(a, b Appointment) int {
		return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Of, b.Of))
	})
	return all
}

// visits is the booked work on one piece of equipment as it stands after the
// visits so far.
type visits struct {
	r      *Request
	tasks  []*Task
	lives  []sums
	counts []int // turns so far
	last   record.Date
}

// lead gives the days from a call to the visit.
func (r *Request) lead() record.Date {
	if r.LeadDays > 0 {
		return record.Date(math.Ceil(r.LeadDays))
	}
	return UsualLead
}

// wanted gives the day on which the visit for a task is wanted; false where it
// is not due within the plan.
func (v *visits) wanted(i int) (record.Date, bool) {
	t := v.tasks[i]
	if v.counts[i] == 0 && t.On != 0 {
		return t.On, true
	}
	due := v.lives[i].due[LikelyQuantile]
	day := v.r.Today + record.Date(math.Ceil(due))
	if v.counts[i] == 0 {
		day = max(day, t.After+1)
	}
	return day, day < v.r.Until
}

// next gives the next visit; false where none is needed within the plan.
func (v *visits) next(of string) (Appointment, bool) {
	on, fixed := record.Date(math.MaxInt32), false
	for i := range v.tasks {
		day, ok := v.wanted(i)
		if !ok {
			continue
		}
		pinned := v.counts[i] == 0 && v.tasks[i].On != 0
		if day < on || day == on && pinned {
			on, fixed = day, pinned
		}
	}
	if on == math.MaxInt32 {
		return Appointment{}, false
	}
	wanted := on
	if !fixed {
		earliest := max(v.r.Today+v.r.lead(), v.last+1)
		wanted = max(on, earliest)
		on = v.r.open(v.keep(wanted), earliest)
	}
	a := Appointment{Of: of, On: on, CallBy: on - v.r.lead(), By: math.MaxInt32}
	for i, t := range v.tasks {
		if !v.joins(i, on, wanted) {
			continue
		}
		day := float64(on - v.r.Today)
		life := &v.lives[i]
		priced := life.turn(t, &v.r.Prices, day)
		v.counts[i]++
		a.Turns = append(a.Turns, Turn{
			Task: t.ID, Number: v.counts[i] + t.ahead, Minutes: t.Minutes(), Risk: priced.Risk, Unused: priced.Unused, Late: priced.Days,
			Pinned: v.counts[i] == 1 && t.On != 0 && t.On == on,
		})
		if !math.IsInf(life.late, 1) {
			a.By = min(a.By, v.r.Today+record.Date(life.late))
		}
		v.lives[i] = t.fresh(on, v.r.Today)
	}
	if a.By == math.MaxInt32 || a.By < on {
		a.By = on
	}
	v.last = on
	return a, true
}

// keep gives the day published for a visit where that still serves: it lies
// within the lead time of the day wanted.
func (v *visits) keep(on record.Date) record.Date {
	for i, t := range v.tasks {
		if v.counts[i] > 0 {
			continue
		}
		for _, p := range t.Published {
			if p >= v.r.Today && p > v.last && p > t.After && max(p-on, on-p) <= v.r.lead() {
				return p
			}
		}
	}
	return on
}

// joins tells whether a task is done at a visit: it is due by the day the visit
// was wanted, or so soon after that to do it early throws away no more than it
// may.
func (v *visits) joins(i int, on, wanted record.Date) bool {
	t := v.tasks[i]
	if v.counts[i] == 0 {
		if t.On != 0 {
			return t.On <= on
		}
		if on <= t.After {
			return false
		}
	}
	life := &v.lives[i]
	if life.due[LikelyQuantile] <= float64(max(on, wanted)-v.r.Today) {
		return true
	}
	day := float64(on - v.r.Today)
	return life.turn(t, &v.r.Prices, day).Unused <= t.Early
}
