package inference

import (
	"math"

	"limekeep/water/figure"
)

// normal is a normal distribution. Its logarithm of the density leaves out
// the factor 1/√2π that every use has in common.
type normal struct {
	mean, sd, logSD float64
}

// newNormal works out the logarithm once.
func newNormal(mean, sd float64) normal { return normal{mean, sd, math.Log(sd)} }

// moved is the same about another mean.
func (n normal) moved(mean float64) normal {
	n.mean = mean
	return n
}

// logDensity is the logarithm of the density at x.
func (n normal) logDensity(x float64) float64 {
	d := (x - n.mean) / n.sd
	return -d*d/2 - n.logSD
}

// at is the point below which the share u lies.
func (n normal) at(u float64) float64 { return n.mean + n.sd*figure.NormalQuantile(u) }

// logSum is the logarithm of the sum of exponentials.
func logSum(logs []float64) float64 {
	top := math.Inf(-1)
	for _, l := range logs {
		top = max(top, l)
	}
	if math.IsInf(top, -1) {
		return top
	}
	var sum float64
	for _, l := range logs {
		sum += math.Exp(l - top)
	}
	return top + math.Log(sum)
}
