package plan

import (
	"cmp"
	"math"
	"slices"

	"limekeep/schedule/record"
)

// Candidate is a task that looks for a sitting.
type Candidate struct {
	Task                string
	Minutes             float64
	Fresh               record.Date // day it was last done, or the part was new
	Early, Likely, Late record.Date // its window; zero dates lie beyond every plan
	Cold                bool        // starts from a cold machine, so it comes after what needs a hot one
}

// Sitting is a planned hour with the tasks done in it, in order.
type Sitting struct {
	Slot
	Tasks []string
}

// RoutineDays is the longest interval of a task that belongs to the daily
// routine; such tasks get no sitting.
const RoutineDays = 2

// Arrange puts candidates into slots. The task whose likely date comes first
// opens the last slot before that date; every other task whose window is open
// by then, and that would lose little of its life, joins it while there is
// time. What is overdue takes the first slot. Slots must be in order; today's
// own count. Tasks that are likely due after the last slot get none.
func Arrange(candidates []Candidate, slots []Slot, today record.Date) []Sitting {
	waiting := slices.DeleteFunc(slices.Clone(candidates), func(c Candidate) bool { return c.Likely == 0 })
	slices.SortFunc(waiting, func(a, b Candidate) int {
		return cmp.Or(cmp.Compare(max(a.Likely, today), max(b.Likely, today)), cmp.Compare(a.latest(), b.latest()), cmp.Compare(a.Task, b.Task))
	})
	slots = slices.DeleteFunc(slices.Clone(slots), func(s Slot) bool { return s.Date() < today })
	var sittings []Sitting
	if len(slots) == 0 {
		return nil
	}
	end := slots[len(slots)-1].Date()
	for len(waiting) > 0 && len(slots) > 0 && waiting[0].Likely <= end {
		first := waiting[0]
		chosen := 0
		for i, s := range slots {
			if s.Date() <= first.Likely {
				chosen = i
			}
		}
		slot := slots[chosen]
		sitting := Sitting{Slot: slot}
		left := slot.Minutes
		var joined, rest []Candidate
		for i, c := range waiting {
			// The first always gets its place: work longer than every slot
			// must still stand somewhere.
			if i == 0 || c.opens(slot.Date()) && c.Minutes <= left {
				left -= c.Minutes
				joined = append(joined, c)
			} else {
				rest = append(rest, c)
			}
		}
		slices.SortStableFunc(joined, func(a, b Candidate) int { return cmp.Compare(btoi(a.Cold), btoi(b.Cold)) })
		for _, c := range joined {
			sitting.Tasks = append(sitting.Tasks, c.Task)
		}
		sittings = append(sittings, sitting)
		waiting, slots = rest, slices.Delete(slots, chosen, chosen+1)
	}
	slices.SortFunc(sittings, func(a, b Sitting) int { return a.Start.Compare(b.Start) })
	return sittings
}

// lifeWorthSaving is the share of a part's life that may be thrown away to do
// its task in a sitting that is held anyway. Assumption.
const lifeWorthSaving = 0.2

// opens tells whether the task could join a sitting on a day: its window is
// open, and not too much of the part's life would be thrown away.
func (c Candidate) opens(day record.Date) bool {
	early := float64(c.Likely - day)
	return c.Early != 0 && c.Early <= day && early <= lifeWorthSaving*float64(c.Likely-c.Fresh)
}

// latest is the late date, and after all others where that lies beyond.
func (c Candidate) latest() record.Date {
	if c.Late == 0 {
		return math.MaxInt32
	}
	return c.Late
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
