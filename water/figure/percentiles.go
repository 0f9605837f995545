package figure

import (
	"cmp"
	"math"
	"slices"
)

// Percentiles is what is known of a number: the points that 10, 50 and 90 % of
// its distribution lie below.
type Percentiles struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
}

// The shares that the percentiles stand for.
const (
	LowShare    = 0.1
	LikelyShare = 0.5
	HighShare   = 0.9
)

// Sure is a number that has no spread.
func Sure(x float64) Percentiles { return Percentiles{x, x, x} }

// By takes the percentiles of a distribution from its quantile function.
func By(quantile func(share float64) float64) Percentiles {
	return Percentiles{quantile(LowShare), quantile(LikelyShare), quantile(HighShare)}
}

// Over takes the percentiles of values that are equally likely, of which there
// is at least one.
func Over(values []float64) Percentiles { return OverInPlace(slices.Clone(values)) }

// OverInPlace is Over for values that may be left in another order.
func OverInPlace(values []float64) Percentiles {
	SelectQuantiles(values, LowShare, LikelyShare, HighShare)
	return By(func(share float64) float64 { return Quantile(values, share) })
}

// OverWeighted takes the percentiles of values by their weights, which need not
// come to 1; NaN where none is above 0.
func OverWeighted(values, weights []float64) Percentiles {
	w := NewWeighted(values, weights)
	return By(w.Quantile)
}

// Quantile is the first of some values, sorted and equally likely, that more
// than a share of them does not exceed; the last for a share of 1. There is at
// least one value, and the share lies in [0, 1].
func Quantile[T any](sorted []T, share float64) T { return sorted[rank(share, len(sorted))] }

// rank is where the quantile of a share stands among so many sorted values.
func rank(share float64, n int) int { return min(n-1, int(share*float64(n))) }

// SelectQuantiles orders values so far that Quantile gives for some shares, in rising
// order, what it would give if all were sorted.
func SelectQuantiles[T cmp.Ordered](values []T, shares ...float64) {
	ranks := make([]int, len(shares))
	for i, share := range shares {
		ranks[i] = rank(share, len(values))
	}
	Select(values, ranks...)
}

// Weighted are values sorted by size, with the sum of the weights up to each.
type Weighted struct {
	values, upTo []float64
	total        float64
}

// NewWeighted sorts values by size; they and their weights are left as they are.
// What has no weight above 0 does not count.
func NewWeighted(values, weights []float64) Weighted {
	order := make([]int, 0, len(values))
	w := Weighted{values: make([]float64, 0, len(values)), upTo: make([]float64, 0, len(values))}
	for i, weight := range weights {
		if weight > 0 {
			order = append(order, i)
			w.total += weight
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	var sum float64
	for _, i := range order {
		sum += weights[i]
		w.values, w.upTo = append(w.values, values[i]), append(w.upTo, sum)
	}
	return w
}

// Quantile is the least value whose share of all weight reaches a share in
// [0, 1]; NaN where there is no weight.
func (w Weighted) Quantile(share float64) float64 {
	if len(w.values) == 0 {
		return math.NaN()
	}
	i, _ := slices.BinarySearch(w.upTo, share*w.total)
	return w.values[min(len(w.values)-1, i)]
}

// At is the value that a share u in (0, 1) of a positive number lies below. What
// its percentiles do not tell, between them and beyond, is taken to be log-normal
// on either side of the middle.
func (p Percentiles) At(u float64) float64 {
	below, above := p.logs()
	return p.at(u, below, above)
}

// logs gives by how much the logarithm falls and rises for each standard deviation of
// a normal distribution.
func (p Percentiles) logs() (below, above float64) {
	return math.Log(p.Likely/p.Low) / Z90, math.Log(p.High/p.Likely) / Z90
}

func (p Percentiles) at(u, below, above float64) float64 {
	z := NormalQuantile(u)
	if z < 0 {
		return p.Likely * math.Exp(z*below)
	}
	return p.Likely * math.Exp(z*above)
}

// Draw gives the value at each of some shares in (0, 1).
func (p Percentiles) Draw(shares []float64) []float64 {
	values := make([]float64, len(shares))
	below, above := p.logs()
	for i, u := range shares {
		values[i] = p.at(u, below, above)
	}
	return values
}

// Widened gives a positive number an independent error on top, a factor whose
// logarithm has the standard deviation logSD.
func (p Percentiles) Widened(logSD float64) Percentiles {
	return Percentiles{
		Low:    p.Likely * math.Exp(-math.Hypot(math.Log(p.Likely/p.Low), Z90*logSD)),
		Likely: p.Likely,
		High:   p.Likely * math.Exp(math.Hypot(math.Log(p.High/p.Likely), Z90*logSD)),
	}
}

// Times multiplies all three by a factor above 0.
func (p Percentiles) Times(factor float64) Percentiles {
	return Percentiles{factor * p.Low, factor * p.Likely, factor * p.High}
}
