package wear

import (
	"slices"

	"limekeep/schedule/record"
)

// knotPlace is where a day lies among the knots of a line's water: behind which,
// and how far towards the next.
type knotPlace struct {
	knot  int
	share float64
}

// between runs straight from one knot's value to the next.
func (p *knotPlace) between(values []float64) float64 {
	return values[p.knot] + p.share*(values[p.knot+1]-values[p.knot])
}

// betweenAt fills in a value at each of some places.
func betweenAt(to []float64, places []knotPlace, values []float64) {
	places = places[:len(to)]
	for i := range to {
		to[i] = places[i].between(values)
	}
}

// waterKnots gives the days at which a line's water is worked out: each quarter,
// each day of a test, and around each change of the line. Between two of them it runs straight.
func waterKnots(tests []TestedWater, arrangements []arrangement, s span) []record.Date {
	var knots []record.Date
	for q := int(s.first) / driftDays; ; q++ {
		knots = append(knots, record.Date(q*driftDays))
		if record.Date(q*driftDays) > s.last {
			break
		}
	}
	last := knots[len(knots)-1]
	for _, a := range arrangements {
		// The line changes from one day to the next.
		for _, d := range []record.Date{a.from - 1, a.from} {
			if d > knots[0] && d < last {
				knots = append(knots, d)
			}
		}
	}
	for _, t := range tests {
		if t.On > knots[0] && t.On < last {
			knots = append(knots, t.On)
		}
	}
	slices.Sort(knots)
	return slices.Compact(knots)
}

// placeSteps finds the middle of each step of a grid among knots.
func placeSteps(knots []record.Date, g grid) []knotPlace {
	steps := make([]knotPlace, g.steps())
	k := 0
	for i := range steps {
		day := g.middle(i)
		for k+2 < len(knots) && knots[k+1] <= day {
			k++
		}
		steps[i] = knotPlace{knot: k, share: float64(day-knots[k]) / float64(knots[k+1]-knots[k])}
	}
	return steps
}
