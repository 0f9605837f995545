package wear

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// limitEvidence tells how likely what was found of parts is, by the limit that they had.
//
// Care is given by the clock or by sight. By the clock, when somebody has planned it,
// whatever the part looks like: then the finding speaks of the limit, as loosely as an
// eye tells fresh from worn. By sight, when the part's time has come: then the interval
// itself speaks, since it ended about where the limit was, or very nearly there where the
// eye is sharp. Nobody writes down which it was; what was found tells which of some habits
// a household has: parts always found worn, and never fresh, were done by sight, and
// intervals that hardly differ by a sharp eye, of parts that are alike, or by a strict
// clock. How likely a finding is by the clock is reckoned from those before it: who waits
// as long each time finds the same each time, and that says little of any other habit.
type limitEvidence struct {
	gauge  Gauge
	usual  float64             // limit
	limits [levelNodes]float64 // at the nodes of the grid
	prior  [levelNodes]float64 // how likely each is beforehand, summing to 1
	shares [levelNodes]float64 // scratch
	all    []partEvidence
	common commonLevel
}

// partEvidence is how well the limits explain what was found of one part, by the habit of
// care, over the nodes of the grid.
type partEvidence struct {
	part       int
	likelihood [len(careHabits)][levelNodes]float64
}

// careHabit is a way in which a household can give its care.
type careHabit struct {
	bySight float64 // share that it does by sight
	eye     float64 // how far from its limit it then takes a part's time to have come
	scatter float64 // how far what it does by the clock lies from what it planned
	prior   float64 // how likely the habit is before anything was found
}

// careHabits are those that are told apart. Deviations are log standard deviations.
// Assumption.
var careHabits = [...]careHabit{
	{bySight: 0, eye: looseEye, scatter: looseClock, prior: 0.35},
	{bySight: 0, eye: looseEye, scatter: strictClock, prior: 0.1},
	{bySight: 0.5, eye: looseEye, scatter: looseClock, prior: 0.1},
	{bySight: 0.95, eye: looseEye, scatter: looseClock, prior: 0.24},
	{bySight: 0.95, eye: sharpEye, scatter: looseClock, prior: 0.21},
}

// How loose eyes and clocks are.
const (
	looseEye, sharpEye      = partFuzz, 0.1
	looseClock, strictClock = 0.3, 0.1
)

const (
	// clockLogSD is how far the interval that a household plans by lies from the usual
	// limit, as a log standard deviation. Assumption.
	clockLogSD = 0.4
	// eyeInCommon is how much the findings of past parts have in common: one pair of eyes
	// judged them all, by one idea of when a part's time has come. So many findings say
	// as much as n/(1 + (n-1)·c) of as many households: the design effect of sampling in
	// clusters (Kish 1965, Survey Sampling). At 1 they say where the limit lies with ever
	// less chance in it, and never more surely than one. Intervals that ended by sight are
	// days, and count in full. Assumption.
	eyeInCommon = 1
	// otherReasons is the share of services done for a reason that has to do neither with
	// a clock nor with the part: a move, a spare in hand. Such intervals are anything.
	// Assumption.
	otherReasons = 0.05
	otherLogSD   = 2.0
	otherReach   = 3 * otherLogSD
	// mostParts is how many parts are learnt from, the latest: what is older adds nothing.
	mostParts = 60
)

func newLimitEvidence(g Gauge, prior figure.Percentiles) *limitEvidence {
	e := &limitEvidence{gauge: g, usual: prior.Likely}
	total := 0.0
	for i := range e.limits {
		e.limits[i], e.prior[i] = limitAt(prior, levelAt(i)), normalDensity(levelAt(i))
		total += e.prior[i]
	}
	for i := range e.prior {
		e.prior[i] /= total
	}
	return e
}

// intervalDensity is that of the logarithm of an interval about where it was to be
// expected.
func intervalDensity(off, sd float64) float64 {
	other := min(max(off, -otherReach), otherReach)
	return (1-otherReasons)*normalDensity(off/sd)/sd + otherReasons*normalDensity(other/otherLogSD)/otherLogSD
}

// clock is what a household plans by, as far as its intervals tell: the logarithm over
// the usual limit, and its variance.
type clock struct{ planned, variance float64 }

// next gives the density of one more interval, and learns from it.
func (c *clock) next(interval, scatter float64) float64 {
	density := intervalDensity(interval-c.planned, math.Sqrt(c.variance+scatter*scatter))
	gain := c.variance / (c.variance + scatter*scatter)
	c.planned += gain * (min(max(interval, -otherReach), otherReach) - c.planned)
	c.variance *= 1 - gain
	return density
}

// of works out what was found of each part, the one that comes last at the end.
func (e *limitEvidence) of(observed []observation) []partEvidence {
	e.all = e.all[:0]
	past := 0 // how many are of the parts before the last
	for past < len(observed) && observed[past].part != observed[len(observed)-1].part {
		past++
	}
	together := 1 / (1 + eyeInCommon*float64(max(0, past-1)))
	loose, strict := clock{variance: clockLogSD * clockLogSD}, clock{variance: clockLogSD * clockLogSD}
	before := e.prior // the limits, as what was found before speaks of them
	for k, o := range observed {
		says := together
		if k >= past {
			says = 1
		}
		if n := len(e.all); n == 0 || e.all[n-1].part != o.part {
			if len(e.all) == mostParts {
				e.all = append(e.all[:0], e.all[1:]...)
			}
			e.all = append(e.all, partEvidence{part: o.part})
			p := &e.all[len(e.all)-1]
			for s := range p.likelihood {
				for i := range p.likelihood[s] {
					p.likelihood[s][i] = 1
				}
			}
		}
		p := &e.all[len(e.all)-1]
		mean, total := 0.0, 0.0
		for i, limit := range e.limits {
			e.shares[i] = o.likelihood(e.gauge, limit)
			mean += before[i] * e.shares[i]
		}
		// What is said of the limit is what goes beyond how likely the finding is anyway.
		anyway := 1.0
		if says < 1 {
			anyway = math.Pow(mean, 1-says)
			for i, share := range e.shares {
				before[i] *= share
				total += before[i]
				e.shares[i] = math.Pow(share, says)
			}
			for i := range before {
				before[i] /= total
			}
		}
		if o.found.Looked() { // to look takes no reason
			for i := range e.limits {
				for s := range p.likelihood {
					p.likelihood[s][i] *= anyway * e.shares[i]
				}
			}
			continue
		}
		reading := func(limit float64) float64 {
			return math.Log(max(e.gauge.Reading(e.gauge.Assume(o.state, limit)), leastForLogged))
		}
		interval := reading(e.usual)
		loosely, strictly := loose.next(interval, looseClock), strict.next(interval, strictClock)
		for i, limit := range e.limits {
			said, byLooseEye, bySharpEye := anyway*e.shares[i], mistakenShare/3*loosely, mistakenShare/3*loosely
			if o.found.Finding == record.Worn {
				off := reading(limit)
				byLooseEye += (1 - mistakenShare) * ((1-o.wrong)*intervalDensity(off, looseEye) + o.wrong*loosely)
				bySharpEye += (1 - mistakenShare) * ((1-o.wrong)*intervalDensity(off, sharpEye) + o.wrong*loosely)
			}
			for h, habit := range careHabits {
				byClock, bySight := loosely*said, byLooseEye
				if habit.scatter == strictClock {
					byClock = strictly * said
				}
				if habit.eye == sharpEye {
					bySight = bySharpEye
				}
				p.likelihood[h][i] *= (1-habit.bySight)*byClock + habit.bySight*bySight
			}
		}
	}
	return e.all
}
