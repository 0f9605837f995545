package inference

import (
	"math"
	"sort"

	"limekeep/water"
	"limekeep/water/figure"
)

// Set is a weighted set of full analyses that agree with a water test: what
// is known of the water, with how much is not. Weights sum to 1. Those of FromTest
// stand in the order in which their pool was cut, so that a uniform picks about the
// same of what was not measured from every test; those of Unmeasured in order of the
// smaller of calcium and alkalinity, in equivalents, which is what limits scale, so that
// a larger uniform is on the whole a water that scales more.
type Set struct {
	Analyses []water.Analysis
	Weights  []float64
}

// SetSize is how many analyses FromTest draws when not told otherwise: enough
// for the 10 and 90 % points to be good to about a twentieth of their distance.
const SetSize = 200

// Pick turns a uniform in (0, 1) into an index, each drawn in proportion to
// its weight; -1 when the set is empty.
func (s Set) Pick(u float64) int {
	var sum float64
	for i, w := range s.Weights {
		sum += w
		if u < sum {
			return i
		}
	}
	return len(s.Weights) - 1
}

// Quantile is the least value of f whose share of weight reaches p, for p
// from 0 to 1; NaN when the set is empty.
func (s Set) Quantile(p float64, f func(water.Analysis) float64) float64 {
	return s.weighted(f).Quantile(p)
}

// Percentiles are those of f over the set; NaN when it is empty.
func (s Set) Percentiles(f func(water.Analysis) float64) figure.Percentiles {
	return figure.By(s.weighted(f).Quantile)
}

func (s Set) weighted(f func(water.Analysis) float64) figure.Weighted {
	values := make([]float64, len(s.Analyses))
	for i, a := range s.Analyses {
		values[i] = f(a)
	}
	return figure.NewWeighted(values, s.Weights)
}

// Share is the share of weight for which f holds, 0 to 1.
func (s Set) Share(f func(water.Analysis) bool) float64 {
	var sum float64
	for i, a := range s.Analyses {
		if f(a) {
			sum += s.Weights[i]
		}
	}
	return math.Min(sum, 1)
}

// EffectiveSize is how many equally weighted analyses the set is worth (Kish
// 1965).
func (s Set) EffectiveSize() float64 {
	var sum float64
	for _, w := range s.Weights {
		sum += w
	}
	return sum * sum * kish(s.Weights)
}

// thin draws n from the pool by systematic resampling (Carpenter, Clifford
// and Fearnhead 1999, IEE Proc. Radar Sonar Navig. 146, 2): in order of what
// limits scale, at even steps of weight from a start set by u. A water drawn
// more than once is kept once, with the weight of all.
func (p *samplePool) thin(n int, u, celsius float64) Set {
	ws := p.weights(1)
	limits := make([]float64, len(p.z))
	order := make([]int, len(p.z))
	for i := range p.z {
		var t water.Totals
		p.z[i].unbalanced(&t)
		order[i], limits[i] = i, math.Min(2*t.Calcium, t.Alkalinity)
	}
	sort.SliceStable(order, func(a, b int) bool { return limits[order[a]] < limits[order[b]] })
	var set Set
	next, sum, drawn := u/float64(n), 0.0, 0
	for k, i := range order {
		sum += ws[i]
		count := 0
		for drawn < n && (next < sum || k == len(order)-1) {
			drawn++
			count++
			next = (float64(drawn) + u) / float64(n)
		}
		if count == 0 {
			continue
		}
		var t water.Totals
		p.z[i].totals(&t)
		set.Analyses = append(set.Analyses, t.Analysis(celsius, p.z[i][latentPH]))
		set.Weights = append(set.Weights, float64(count)/float64(n))
	}
	return set
}
