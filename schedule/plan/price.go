package plan

import "math"

// Prices say what a plan's ills are worth, in minutes of the owner's time, so
// that they can be weighed against each other. All are assumptions.
type Prices struct {
	Sitting float64            // to begin a sitting at all: make room, fetch tools, tidy up
	States  map[string]float64 // to bring about a state once in a sitting, by its name
	State   float64            // the same for a state that States does not name

	// Late and LateSquared price lateness: a task that is late by the share x
	// of its life costs its worth times Late·x + LateSquared·x², so that each
	// day of it hurts more than the one before, until that comes to its stake.
	// From there on each further life that is missed costs the stake once more:
	// what was ruined is replaced, and ruined again a life later. So who never
	// does a thing pays for its parts once a life and no more, and to wait on
	// costs something however late it is already.
	Late, LateSquared float64

	// PassLate is the price of letting a task's late date pass, and PastLate that
	// of each day after it, times the task's weight; both on top. They are rules of
	// the plan's, not costs that anybody bears: the one is more than a sitting of
	// its own costs, so that none is saved at the price of a late date, the other
	// makes what harms more go before what harms less.
	PassLate, PastLate float64

	// NoPlace is the price of a turn without a place, though its likely date lies
	// within the plan, times the task's weight: more than any place would cost.
	NoPlace float64

	// Leaving and LeavingSoon price a turn that stands on another day than in the
	// plan published last, half for where it was and half for where it goes; the
	// latter counts within SoonDays from today.
	Leaving, LeavingSoon float64
	SoonDays             float64
}

// UsualPrices are the prices of a household. To cool a machine and heat it
// again costs the most, since nobody gets a coffee meanwhile. By the
// late price a task that is alone would be done about when one world in four or
// five has it due; sharing a sitting moves it from there.
func UsualPrices() Prices {
	return Prices{
		Sitting: 25,
		States: map[string]float64{
			"hot": 0, "cold": 40, "group open": 10, "drained": 30,
			"mains off": 5, "water off": 5, "cartridges out": 10, "unplugged": 2,
		},
		State: 5,
		Late:  3, LateSquared: 5,
		PassLate: 120, PastLate: 20, NoPlace: 5000,
		Leaving: 20, LeavingSoon: 40, SoonDays: 28,
	}
}

// state gives the price of a state by its name.
func (p Prices) state(name string) float64 {
	if price, ok := p.States[name]; ok {
		return price
	}
	return p.State
}

// worst gives by what share of its life a task must be late for that to cost its
// stake; without end where it has none.
func (p Prices) worst(t *Task) float64 {
	harm := t.steep() * t.Worth
	if t.Stake == 0 || harm == 0 {
		return math.Inf(1)
	}
	if p.LateSquared == 0 {
		return t.Stake / (harm * p.Late)
	}
	return (math.Sqrt(p.Late*p.Late+4*p.LateSquared*t.Stake/harm) - p.Late) / (2 * p.LateSquared)
}
