package plan

import (
	"cmp"
	"slices"

	"limekeep/schedule/record"
)

// CatchUp is a plan of weeks for what is past already: safety first, then what
// does harm, then the rest, with so many minutes a week and no more.
type CatchUp struct {
	Tasks   []string    // in the order in which they are caught up with
	Minutes float64     // of sittings that it takes
	PerWeek float64     // minutes a week at the most; a task that is longer has a week of its own
	Weeks   int         // from today to the end
	End     record.Date // day of the last sitting that catches up
}

// UsualCatchUp is how many minutes of sittings a week an owner spends at the
// most to catch up. Assumption.
const UsualCatchUp = 180

// PerWeek returns the minutes of sittings a week while catching up.
func (r *Request) PerWeek() float64 {
	if r.CatchUpMinutes > 0 {
		return r.CatchUpMinutes
	}
	return UsualCatchUp
}

// WeekOf numbers the weeks of the calendar.
func WeekOf(day record.Date) record.Date { return day / daysOfAWeek }

// catchUp gives what is at its likely date or past it a place, if that is more work than a
// week holds: each in its turn has the first slot with room, or keeps the one it
// was published for. It fixes their days and says how much of each slot is left.
// Nil where there is nothing to catch up with; then what endangers somebody or harms the
// machine has a place of that kind all the same, since what its being late can cost is
// spent before long, and waiting would seem to cost nothing.
func (r *Request) catchUp() *CatchUp {
	behind := r.behind()
	work := 0.0
	for _, t := range behind {
		work += r.Tasks[t].Minutes()
	}
	few := work <= r.PerWeek()
	if few {
		behind = slices.DeleteFunc(behind, func(t int) bool { return r.Tasks[t].Rank < Harm && !r.isBrief(t) })
	}
	if len(behind) == 0 {
		return nil
	}
	m := newModel(r, nil)
	w := &weeks{r: r, m: m, sets: make([][]int, m.n), minutes: map[record.Date]float64{}}
	for t := range r.Tasks {
		for _, s := range m.fixed[t] {
			w.put(t, s)
		}
	}
	up := &CatchUp{PerWeek: r.PerWeek()}
	first := w.putBrief(behind)
	for _, t := range behind {
		slot, ok := first[t]
		if !ok {
			if slot, ok = w.place(t); !ok {
				continue
			}
			w.put(t, slot)
		}
		task := &r.Tasks[t]
		task.On, task.settled = r.date(slot), true
		up.Tasks = append(up.Tasks, task.ID)
		for i := range r.Tasks {
			if id := r.Tasks[i].ID; slices.Contains(task.Covers, id) && r.isBehind(i) && !slices.Contains(up.Tasks, id) {
				up.Tasks = append(up.Tasks, id)
			}
		}
		up.End = max(up.End, task.On)
	}
	if few || len(up.Tasks) == 0 {
		return nil
	}
	r.upTo, r.upOn = up.End, up.Tasks
	up.Weeks = int(up.End-r.Today)/daysOfAWeek + 1
	r.spare = w.spare(up.End)
	for s, slot := range r.Slots {
		if slot.Date() <= up.End {
			up.Minutes += m.clock.elapsed(w.sets[s])
		}
	}
	return up
}

// behind lists the tasks at or past their likely date that the owner has not fixed, but
// for those that another of them covers, in the order in which to catch up with them: by
// rank, then by how certain it is that they are past their limit and how much a day of
// that harms.
func (r *Request) behind() []int {
	var behind []int
	for i := range r.Tasks {
		if r.isBehind(i) && !r.coveredBehind(i) {
			behind = append(behind, i)
		}
	}
	press := func(i int) float64 {
		t := &r.Tasks[i]
		return t.Risk(r.Today) * t.weight()
	}
	slices.SortStableFunc(behind, func(a, b int) int {
		return cmp.Or(
			cmp.Compare(r.Tasks[b].Rank, r.Tasks[a].Rank),
			cmp.Compare(press(b), press(a)),
			cmp.Compare(r.Tasks[a].ID, r.Tasks[b].ID),
		)
	})
	return behind
}

// isBehind tells whether a task is at its likely date or past it, and not fixed by the
// owner.
func (r *Request) isBehind(i int) bool {
	return r.Tasks[i].isPast(r.Today) && r.Tasks[i].On == 0
}

// coveredBehind tells whether another task that is behind covers this one.
func (r *Request) coveredBehind(i int) bool {
	for j := range r.Tasks {
		if slices.Contains(r.Tasks[j].Covers, r.Tasks[i].ID) && r.isBehind(j) {
			return true
		}
	}
	return false
}

// weeks is what was put into the slots of weeks so far.
type weeks struct {
	r       *Request
	m       *model
	sets    [][]int                 // by slot, in order
	minutes map[record.Date]float64 // by week
}

func (w *weeks) put(t, slot int) {
	week := WeekOf(w.r.date(slot))
	w.minutes[week] -= w.m.clock.elapsed(w.sets[slot])
	w.sets[slot] = including(w.sets[slot], t)
	w.minutes[week] += w.m.clock.elapsed(w.sets[slot])
}

// patience is how many days later than it could be a task stays where it was published,
// though it is all but sure to be past its limit by then: what the owner has seen does not
// move for little. Assumption.
const patience = 14

// place finds a task its slot: the one it was published for, if that lies before its late
// date or is not much later than the first with room; else that.
func (w *weeks) place(t int) (int, bool) {
	task, first, until := &w.r.Tasks[t], -1, record.Date(0)
	for s := range w.r.Slots {
		day := w.r.date(s)
		if first >= 0 && day > until {
			break
		}
		if !w.fits(t, s) {
			continue
		}
		if len(task.Published) == 0 || day == task.Published[0] {
			return s, true
		}
		if first < 0 {
			first, until = s, max(task.Late, day+patience)
		}
	}
	return max(0, first), first >= 0
}

// putBrief gives what is brief the next sitting, as much of it as that may run over for, so
// that no other work leaves that slot for it; the rest of it waits for its turn. It returns
// where it stands.
func (w *weeks) putBrief(behind []int) map[int]int {
	first, minutes := map[int]int{}, 0.0
	for _, t := range behind {
		if more := w.r.Tasks[t].Minutes(); w.r.isBrief(t) && minutes+more <= briefMinutes {
			if slot, ok := w.place(t); ok {
				w.put(t, slot)
				first[t], minutes = slot, minutes+more
			}
		}
	}
	return first
}

// fits tells whether a task has room in a slot and in its week. What is longer
// than a week's minutes has a week of its own.
func (w *weeks) fits(t, slot int) bool {
	day := w.r.date(slot)
	if !w.r.Tasks[t].allows(day) {
		return false
	}
	set := including(w.sets[slot], t)
	if !w.m.holds(set, slot) && !w.r.runsOver(w.m, set, w.m.room[slot]) {
		return false
	}
	week := WeekOf(day)
	after := w.minutes[week] - w.m.clock.elapsed(w.sets[slot]) + w.m.clock.elapsed(set)
	return after <= w.r.PerWeek()+roomy || w.minutes[week] == 0
}

// spare gives, by slot, the minutes that a sitting may last: up to the end of
// catching up no week has more than its bound.
func (w *weeks) spare(end record.Date) []float64 {
	spare := make([]float64, w.m.n)
	left := map[record.Date]float64{}
	for s, slot := range w.r.Slots {
		spare[s] = slot.Minutes
		week := WeekOf(slot.Date())
		if week > WeekOf(end) {
			continue
		}
		taken := w.m.clock.elapsed(w.sets[s])
		if _, ok := left[week]; !ok {
			left[week] = max(0, w.r.PerWeek()-w.minutes[week])
		}
		more := min(left[week], max(0, slot.Minutes-taken))
		left[week] -= more
		spare[s] = taken + more
	}
	return spare
}
