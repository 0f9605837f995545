package wear

import (
	"slices"

	"limekeep/schedule/record"
)

// span is the days of a forecast: from the first that any gauge looks back to,
// up to the horizon.
type span struct {
	first, today, last record.Date
}

// grid cuts a span into steps of a week at most. Every day on which something
// happens, a service, a test or today itself, ends a step, so that sums up to
// it are exact; within a step wear runs evenly.
type grid struct {
	knots []record.Date // step i runs from the day after knots[i] to knots[i+1]
	since []float64     // days from the first knot to each
	zeros []float64     // one at each knot, which nobody writes to

	// The knots of days that are asked about in every world.
	today    int
	ahead    int // weeksAhead on
	expected [len(expectedDays)]int
	again    []int // of Household.Again
}

// longestStep is how many days a step has at most.
const longestStep = 7

func newGrid(s span, matter []record.Date) grid {
	knots := []record.Date{s.first, s.today, s.last}
	for d := s.first; d < s.last; d += longestStep {
		knots = append(knots, d)
	}
	for _, d := range matter {
		if d > s.first && d < s.last {
			knots = append(knots, d)
		}
	}
	slices.Sort(knots)
	g := grid{knots: slices.Compact(knots)}
	g.since, g.zeros = make([]float64, len(g.knots)), make([]float64, len(g.knots))
	for k, on := range g.knots {
		g.since[k] = float64(on - s.first)
	}
	g.today, g.ahead = g.at(s.today), g.at(s.today+7*weeksAhead)
	for i, days := range expectedDays {
		g.expected[i] = g.at(s.today + days)
	}
	return g
}

// steps is the number of steps.
func (g grid) steps() int { return len(g.knots) - 1 }

// upTo is the grid up to a knot, for which nothing behind it is asked about.
func (g grid) upTo(knot int) grid {
	g.knots, g.since, g.zeros = g.knots[:knot+1], g.since[:knot+1], g.zeros[:knot+1]
	g.ahead = min(g.ahead, knot)
	for i := range g.expected {
		g.expected[i] = min(g.expected[i], knot)
	}
	return g
}

// days is the length of a step.
func (g grid) days(step int) float64 { return float64(g.knots[step+1] - g.knots[step]) }

// at gives the knot of a day that matters, or the next knot after any other.
func (g grid) at(d record.Date) int {
	i, _ := slices.BinarySearch(g.knots, d)
	return min(i, len(g.knots)-1)
}

// middle is the day in the middle of a step.
func (g grid) middle(step int) record.Date {
	return g.knots[step] + (g.knots[step+1]-g.knots[step]+1)/2
}
