package plan

import (
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// Task is what looks for a place in the plan: the next turn of a task, and those
// after it.
type Task struct {
	ID     string
	Of     string  // id of the equipment it is about
	Hands  float64 // minutes of work at which hands are needed
	Waits  []Wait  // between, in order: while something soaks, fills or stands
	Order  int     // place within a sitting, the smallest first among those of one machine; LastOrder and more behind all acid
	States []State // that the work starts from
	Acid   bool    // while it stands, nothing else is opened on its equipment but what takes acid as well
	Heats  bool    // the machine is heated in its course: no other cold work may be open then
	Cuts   bool    // the machine loses its power in its course: not while work heats it

	Visit   bool     // for a workshop or for licensed people: no work of the owner's
	Routine bool     // small, and nobody's safety hangs on it: a routine where it comes again within RoutineDays
	Covers  []string // ids of the tasks that a turn counts as well
	Early   float64  // of a visit's: share of its life that may be thrown away to save a visit, 0 to 1

	Worth  float64 // of one turn, in minutes of the owner's time: what is thrown away when it is done far too early
	Steep  float64 // how many times as bad as usual it is to be late; 1 where 0
	Stake  float64 // minutes of the owner's time that lateness can cost at the most for each life that is missed, by what the part costs; without end where 0
	Rank   Rank    // what comes first when not all can
	Weight float64 // how many times as bad as usual a day past the late date is; 1 where 0

	Fresh record.Date    // day it was last done, or the part was new
	Met   bool           // nobody wrote down when that was: Fresh is the day its records begin, and a whole life is that of a part made fresh today
	Late  record.Date    // nine worlds in ten have it due by then; zero beyond the horizon
	Due   wear.Quantiles // of the next crossing
	Lives Lives          // of a part made fresh later on

	On        record.Date   // the day the owner fixed the next turn on; zero for none
	After     record.Date   // the next turn is wanted after this day; zero for none
	Held      bool          // by what goes before it, and not by the owner
	First     record.Date   // the day of a slot that its next turn belongs on, unless the owner fixed or put it off; zero for none
	Published []record.Date // where its turns stood in the plan published last, in order

	Booked   record.Date // the day on which somebody comes to do the next turn; zero for nobody
	BookedBy int64       // record of that visit

	settled bool `exact:"-"` // On was given by the plan, not by the owner
	ahead   int  `exact:"-"` // turns that others do before the first that is planned
}

// Wait is a time in a task's work at which hands are free.
type Wait struct {
	After   float64 // minutes of hands before it, counted from the task's beginning
	Minutes float64
	For     string // what is waited for, in a word or two
}

// Rank says what lateness does, and so who comes first when there is not room
// for all.
type Rank int

// Ranks, those that come first first.
const (
	Comfort Rank = iota // taste, or a small nuisance
	Harm                // the machine is harmed
	Safety              // somebody can be hurt, or a home flooded
)

// Minutes gives what the task takes by itself, waits among it, heating and
// cooling not.
func (t *Task) Minutes() float64 {
	sum := t.Hands
	for _, w := range t.Waits {
		sum += w.Minutes
	}
	return sum
}

// weight gives how many times as bad as usual a day past the late date is.
func (t *Task) weight() float64 {
	if t.Weight == 0 {
		return 1
	}
	return t.Weight
}

// steep gives how many times as bad as usual it is to be late.
func (t *Task) steep() float64 {
	if t.Steep == 0 {
		return 1
	}
	return t.Steep
}

// State is a state that work starts from, and whose it is: a machine is cold,
// the water of a whole place is off. Tasks that share one pay for it once.
type State struct {
	Of   string // id of the equipment; empty for the whole place
	Name string
}

// States that take time to bring about; a machine is in one of them at a time.
const (
	Hot  = "hot"
	Cold = "cold" // what is touched is 40 °C or less
)

// LastOrder is the Order from which on a task waits until no acid stands
// anywhere: a new cartridge must not meet any.
const LastOrder = 90

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
func (t *Task) from(day record.Date) life { return t.fromBy(t.lives(), day) }

// lives gives how long a part made fresh on each of the days known lasts; none where too
// little is known.
func (t *Task) lives() []life {
	days := t.Lives.Days
	if len(days) == 0 || len(t.Lives.Due) < len(days) {
		return nil
	}
	lives := make([]life, len(days))
	for j, day := range days {
		lives[j] = lasts(t.Lives.Due[j], day)
	}
	return lives
}

// fromBy is from for who has the lives at hand.
func (t *Task) fromBy(lives []life, day record.Date) life {
	if len(lives) == 0 {
		return lasts(t.Due, t.Fresh).atLeastADay()
	}
	days := t.Lives.Days
	j := 0
	for j+1 < len(days) && days[j+1] <= day {
		j++
	}
	a := lives[j]
	if j+1 == len(days) || day <= days[j] {
		return a.atLeastADay()
	}
	b := &lives[j+1]
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

// Places among a crossing's quantiles of its likely and its late date: half of
// the worlds and nine in ten have it due by then.
const (
	LikelyQuantile = wear.QuantileCount / 2
	LateQuantile   = wear.QuantileCount * 9 / 10
)

// likely gives the days by which half of the worlds have it due; false beyond
// the horizon.
func (l life) likely() (float64, bool) {
	days := l[LikelyQuantile]
	return days, days < beyondDays
}

// isPast reports whether a task is at its likely date or past it.
func (t *Task) isPast(today record.Date) bool {
	due := t.Due[LikelyQuantile]
	return due != 0 && due <= today
}

// late gives the days by which nine worlds in ten have it due; false beyond the
// horizon.
func (l life) late() (float64, bool) {
	days := l[LateQuantile]
	return days, days < beyondDays
}
