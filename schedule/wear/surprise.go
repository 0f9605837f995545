package wear

import (
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Unexpected is the chance below which a finding is said to be unexpected: one in
// twenty that as much, or as little, would be found. Assumption.
const Unexpected = 0.05

// A finding that nobody expected may be a slip, which teaches what it would teach
// anyway; or what was believed of water, use, cartridges or sizes is wrong by more than
// any world allows for. How likely the second is grows smoothly from nothing, at a chance
// of one in twenty, to a half as the finding grows unlikelier. What was believed is then
// wrong by a factor whose logarithm has a Laplace distribution of this scale: however far
// off the finding was, the gauge's unknown is the likelier the less of a factor it leaves
// to be explained. Assumptions.
const (
	mostBelievedWrong = 0.5
	wrongLogScale     = 0.7
)

// judged is a gauge whose findings can be more or less than expected.
type judged interface {
	// odds tells how likely a state is found as it was, or as less; and as it was, or as
	// more.
	odds(s State, found record.Service) (less, more float64)
	// rises is 1 where more of the gauge's unknown makes its readings higher, -1 where
	// it makes them lower.
	rises() float64
}

func (g *scaleGauge) odds(s State, found record.Service) (less, more float64) {
	grams := max(g.held(s, 1), leastForLogged)
	if found.Grams > 0 { // weighed is more than seen
		less = figure.NormalBelow(math.Log(found.Grams/grams) / ScaleGramsLogSD)
		return less, 1 - less
	}
	shares := ScaleShares(grams * g.eyeMM)
	return sides(shares[:], slices.Index(scaleFindings, string(found.Finding)))
}

func (g *scaleGauge) rises() float64 { return 1 }

func (g *partGauge) rises() float64 { return -1 } // a limit

func (g *partGauge) odds(s State, found record.Service) (less, more float64) {
	shares := PartShares(s.reading())
	return sides(shares[:], slices.Index(partFindings, string(found.Finding)))
}

// sides sums the shares up to one of them, and from it on.
func sides(shares []float64, at int) (less, more float64) {
	if at < 0 {
		return 1, 1
	}
	for i, s := range shares {
		if i <= at {
			less += s
		}
		if i >= at {
			more += s
		}
	}
	return less, more
}

// surprises works out how likely each finding was beforehand, over the worlds and over
// what was known of the gauge's unknown, and notes it with the observations.
func surprises(g *dutyGauge, worlds [][]observation, all []Observed) {
	judge, ok := g.Gauge.(judged)
	if !ok || len(worlds) == 0 {
		return
	}
	const cells = 16
	var values [cells]float64
	for c := range values {
		values[c] = g.Unknown().At((float64(c) + 0.5) / cells)
	}
	for i := range all {
		less, more, says := 0.0, 0.0, 0.0
		for _, observed := range worlds {
			for _, value := range values {
				state := g.Assume(observed[i].state, value)
				l, m := judge.odds(state, observed[i].found)
				less, more, says = less+l, more+m, says+g.Likelihood(state, observed[i].found)
			}
		}
		n := float64(len(worlds) * cells)
		all[i].Chance, all[i].More = min(1, less/n), false
		if more < less {
			all[i].Chance, all[i].More = min(1, more/n), true
		}
		if all[i].Chance >= Unexpected {
			continue
		}
		o := observation{wrong: mostBelievedWrong * math.Pow(1-all[i].Chance/Unexpected, 2), tilt: judge.rises() / wrongLogScale, typical: values[cells/2]}
		if !all[i].More {
			o.tilt = -o.tilt
		}
		tilted := 0.0
		for _, value := range values {
			tilted += o.tilted(value) / cells
		}
		o.level = says / n / tilted
		for w := range worlds {
			x := &worlds[w][i]
			x.wrong, x.tilt, x.typical, x.level = o.wrong, o.tilt, o.typical, o.level
		}
	}
}

// tilted is how much likelier an unknown's value is than its middle one where what was
// believed is wrong.
func (o *observation) tilted(value float64) float64 { return math.Pow(value/o.typical, o.tilt) }

// likelihood tells how well a gauge with its unknown at a value explains an
// observation, allowing for what was believed to be wrong where nobody expected it.
func (o *observation) likelihood(g Gauge, value float64) float64 {
	says := g.Likelihood(g.Assume(o.state, value), o.found)
	if o.wrong == 0 {
		return says
	}
	return (1-o.wrong)*says + o.wrong*o.level*o.tilted(value)
}
