package plan

import (
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// Task is what looks for sittings: the next turn of a task, and those after it.
type Task struct {
	ID      string
	Minutes float64 // the work takes
	Worth   float64 // of one turn, in minutes of the owner's time: what is thrown away when it is done far too early
	Steep   float64 // how many times as bad as usual it is to be late; 1 where 0
	Order   int     // place within a sitting, the smallest first
	States  []State // that the work starts from

	Fresh record.Date    // day it was last done, or the part was new
	Late  record.Date    // nine worlds in ten have it due by then; zero beyond the horizon
	Due   wear.Quantiles // of the next crossing
	Lives Lives          // of a part made fresh later on

	On        record.Date   // the day the owner fixed the next turn on; zero for none
	After     record.Date   // the owner wants the next turn after this day; zero for none
	Published []record.Date // where its turns stood in the plan published last, in order
}

// State is a state that work starts from, and whose it is: a machine is cold,
// the water of a whole place is off. Tasks that share one pay for it once.
type State struct {
	Of   string // id of the equipment; empty for the whole place
	Name string
}

// Lives says when a part made fresh on one of some days falls due again.
type Lives struct {
	Days []record.Date    // in order
	Due  []wear.Quantiles // one for each day
}

// beyondDays is how long after it was made fresh a part is taken to last where
// its crossing lies beyond the horizon: it only has to be far. Assumption.
const beyondDays = 7 * 365

// life is the days a part lasts, one for each of the equally likely worlds.
type life [wear.QuantileCount]float64

// lasts gives how long a part lasts that was made fresh on a day.
func lasts(due wear.Quantiles, fresh record.Date) life {
	var l life
	for i, d := range due {
		l[i] = beyondDays
		if d != 0 {
			l[i] = min(beyondDays, float64(d-fresh))
		}
	}
	return l
}

// from gives how long a part made fresh on a day lasts, between the days known
// by a straight line. A task without known days lasts as long as it does now.
func (t *Task) from(day record.Date) life {
	days := t.Lives.Days
	if len(days) == 0 || len(t.Lives.Due) < len(days) {
		return lasts(t.Due, t.Fresh).atLeastADay()
	}
	j := 0
	for j+1 < len(days) && days[j+1] <= day {
		j++
	}
	a := lasts(t.Lives.Due[j], days[j])
	if j+1 == len(days) || day <= days[j] {
		return a.atLeastADay()
	}
	b := lasts(t.Lives.Due[j+1], days[j+1])
	share := float64(day-days[j]) / float64(days[j+1]-days[j])
	for i := range a {
		a[i] += share * (b[i] - a[i])
	}
	return a.atLeastADay()
}

func (l life) atLeastADay() life {
	for i := range l {
		l[i] = max(1, l[i])
	}
	return l
}

// RoutineDays is the longest interval, in days, of a task that belongs to the
// daily routine whatever the slots are; such tasks get no sitting.
const RoutineDays = 2

// LateQuantile is the place among a crossing's quantiles of its late date: nine
// worlds in ten have it due by then.
const LateQuantile = wear.QuantileCount * 9 / 10

// late gives the days by which nine worlds in ten have it due; false beyond the
// horizon.
func (l life) late() (float64, bool) {
	days := l[LateQuantile]
	return days, days < beyondDays
}
