package score

import (
	"math"
	"sort"

	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// distribution is an amount as it was expected on a day, as many equally likely
// values, the smallest first.
type distribution []float64

// How many values stand for a distribution, and how many for an error on top.
// Choices of numerical method.
const (
	fineness      = 101
	noiseFineness = 15
)

// expectedOn returns what was expected on a day from a publication on: between
// and beyond its points the quantiles move in a straight line, as wear does. With it
// come the quantiles themselves. It reports false where the publication does not say.
func expectedOn(e record.PublishedExpected, on record.Date) (distribution, record.PublishedPoint, bool) {
	points := e.Points
	if len(points) == 0 || on < points[0].On {
		return nil, record.PublishedPoint{}, false
	}
	for _, p := range points {
		if len(p.At) != len(wear.ExpectedShares) {
			return nil, record.PublishedPoint{}, false
		}
	}
	i := min(sort.Search(len(points), func(i int) bool { return points[i].On > on }), len(points)-1)
	from, to := points[max(i-1, 0)], points[i]
	share := 0.0
	if to.On > from.On {
		share = float64(on-from.On) / float64(to.On-from.On)
	}
	quantiles := make([]float64, len(wear.ExpectedShares))
	for k := range quantiles {
		quantiles[k] = from.At[k] + share*(to.At[k]-from.At[k])
		if k > 0 {
			quantiles[k] = max(quantiles[k], quantiles[k-1])
		}
	}
	for k := range quantiles {
		quantiles[k] = figure.Digits(quantiles[k], 4)
	}
	return spread(quantiles, e.Of != string(wear.ExpectedCheck)), record.PublishedPoint{On: on, At: quantiles}, true
}

// spread draws a line through quantiles over the standard normal, of their
// logarithms where an amount is above 0, and on beyond the outermost.
func spread(quantiles []float64, positive bool) distribution {
	values := make(distribution, fineness)
	zs, at := make([]float64, len(quantiles)), make([]float64, len(quantiles))
	for k, q := range quantiles {
		zs[k] = figure.NormalQuantile(wear.ExpectedShares[k])
		at[k] = q
		if positive {
			at[k] = math.Log(max(q, leastAmount))
		}
	}
	for i := range values {
		z := figure.NormalQuantile((float64(i) + 0.5) / fineness)
		k := min(max(sort.SearchFloat64s(zs, z), 1), len(zs)-1)
		values[i] = at[k-1] + (z-zs[k-1])/(zs[k]-zs[k-1])*(at[k]-at[k-1])
		if positive {
			values[i] = math.Exp(values[i])
		}
	}
	return values
}

// leastAmount keeps the logarithm of what has not worn at all finite.
const leastAmount = 1e-6

// logs returns the logarithms of the values.
func (d distribution) logs() distribution {
	logs := make(distribution, len(d))
	for i, v := range d {
		logs[i] = math.Log(max(v, leastAmount))
	}
	return logs
}

// with returns the distribution with a normal error of a standard deviation on top.
func (d distribution) with(sd float64) distribution {
	all := make(distribution, 0, len(d)*noiseFineness)
	for i := range noiseFineness {
		off := sd * figure.NormalQuantile((float64(i)+0.5)/noiseFineness)
		for _, v := range d {
			all = append(all, v+off)
		}
	}
	sort.Float64s(all)
	return all
}

// below returns the share of the distribution, with a normal error of a standard
// deviation on top, that lies below a value.
func (d distribution) below(value, sd float64) float64 {
	share := 0.0
	for _, v := range d {
		share += figure.NormalBelow((value - v) / sd)
	}
	return share / float64(len(d))
}

// logSD is the spread of the logarithm, by the 10 and 90 % points.
func (d distribution) logSD() float64 {
	at := func(share float64) float64 { return math.Log(max(figure.Quantile(d, share), leastAmount)) }
	return (at(figure.HighShare) - at(figure.LowShare)) / (2 * figure.Z90)
}
