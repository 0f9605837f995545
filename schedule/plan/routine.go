package plan

import (
	"slices"

	"limekeep/schedule/record"
)

// Routine is a round of small tasks that come again within days. It has its own
// day and minutes, is done as a whole or in part, and never takes a slot.
type Routine struct {
	EveryDays int         // 1 for daily
	From      record.Date // a day on which it is done, today or later; from there on every so many days
	Minutes   float64     // that the whole takes
	Tasks     []string
	Covered   []string // tasks that are done with others of the round, and need no doing of their own
	Wished    bool     // the owner chose the day
}

// RoutineDays is the longest likely life, in days, of a part made fresh today
// whose task is a routine.
const RoutineDays = 10

// rounds are how often a round of the routine can come, in days, the rarest
// first. A task belongs to the rarest that its life reaches, or nearly.
var rounds = []int{7, 3, 1}

// comesAgain gives the likely days until a task comes again once it is done.
func (t *Task) comesAgain(today record.Date) float64 {
	days, _ := t.from(today).likely()
	return days
}

// IsRoutine tells whether a task belongs to the routine: it comes again within
// days by its own forecast, and nobody's safety hangs on it.
func (t *Task) IsRoutine(today record.Date) bool {
	return t.Routine && !t.Visit && t.comesAgain(today) <= RoutineDays
}

// roundOf gives how often a routine task is done, in days.
func (t *Task) roundOf(today record.Date) int {
	life := t.comesAgain(today)
	for _, every := range rounds {
		if life >= float64(every)-1 {
			return every
		}
	}
	return 1
}

// routine lays out the rounds of tasks, the most frequent first.
func (r *Request) routine(tasks []Task) []Routine {
	var all []Routine
	for _, every := range slices.Backward(rounds) {
		round := Routine{EveryDays: every, From: r.routineDay(every), Wished: every == daysOfAWeek && r.RoutineDay != nil}
		hands, longest := 0.0, 0.0 // while one group soaks, the next is worked on
		for i := range tasks {
			t := &tasks[i]
			by, covered := r.roundCovering(tasks, t)
			switch {
			case covered && by == every:
				round.Covered = append(round.Covered, t.ID)
			case !covered && t.roundOf(r.Today) == every:
				round.Tasks = append(round.Tasks, t.ID)
				hands += t.Hands
				longest = max(longest, t.Minutes())
			}
		}
		round.Minutes = max(hands, longest)
		if len(round.Tasks) > 0 {
			all = append(all, round)
		}
	}
	return all
}

// roundCovering gives how often a round comes of which another task covers a routine
// task, at least as often as that is needed; false where none does.
func (r *Request) roundCovering(tasks []Task, t *Task) (every int, ok bool) {
	for i := range tasks {
		o := &tasks[i]
		if by := o.roundOf(r.Today); by <= t.roundOf(r.Today) && slices.Contains(o.Covers, t.ID) && (!ok || by < every) {
			every, ok = by, true
		}
	}
	return every, ok
}

// routineDay gives a day for a round: of a weekly one the weekday that lies
// farthest from those of the slots, so that it is in nobody's way, unless the owner
// chose one.
func (r *Request) routineDay(every int) record.Date {
	if every == 1 {
		return r.Today
	}
	if every < daysOfAWeek { // counted from a fixed day, so that it is the same day tomorrow
		e := record.Date(every)
		return r.Today + (e-r.Today%e)%e
	}
	if r.RoutineDay != nil {
		return r.Today + record.Date((int(*r.RoutineDay)-int(r.Today.Weekday())+daysOfAWeek)%daysOfAWeek)
	}
	best, far := record.Date(0), -1
	for day := range record.Date(daysOfAWeek) {
		nearest := daysOfAWeek
		for _, s := range r.Slots {
			apart := int((s.Date() - day) % daysOfAWeek)
			nearest = min(nearest, apart, daysOfAWeek-apart)
		}
		if nearest > far {
			best, far = day, nearest
		}
	}
	return r.Today + ((best-r.Today)%daysOfAWeek+daysOfAWeek)%daysOfAWeek
}
