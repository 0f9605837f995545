package score

import (
	"math"
	"slices"
)

// IntervalScore returns the score of a central interval that is to hold with a
// share 1 - alpha: its width, and 2/alpha times the distance by which the truth lies
// outside. Less is better. Gneiting and Raftery 2007, Journal of the American
// Statistical Association 102, equation 43.
func IntervalScore(low, high, alpha, truth float64) float64 {
	score := high - low
	switch {
	case truth < low:
		score += 2 / alpha * (low - truth)
	case truth > high:
		score += 2 / alpha * (truth - high)
	}
	return score
}

// CRPS returns the continuous ranked probability score of equally likely values, in
// their unit: the mean distance to the truth less half the mean distance among
// them. Less is better; of a single value it is the distance. The same paper,
// equation 21. There is at least one value.
func CRPS(values []float64, truth float64) float64 {
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	n := float64(len(sorted))
	away, among := 0.0, 0.0
	for i, v := range sorted {
		away += math.Abs(v - truth)
		among += v * (2*float64(i) + 1 - n) // sum over pairs of their distance, counted from both sides, halved
	}
	return away/n - among/(n*n)
}

// RankedProbability returns the ranked probability score of what can be found, in
// its order, from 0 for all on what was found to 1 for all on the far end: the mean
// square by which running totals are off. Epstein 1969, Journal of Applied
// Meteorology 8; it is the CRPS of what has only an order.
func RankedProbability(chances []float64, found int) float64 {
	total, score := 0.0, 0.0
	for i, c := range chances[:len(chances)-1] {
		total += c
		off := total
		if i >= found {
			off--
		}
		score += off * off
	}
	return score / float64(len(chances)-1)
}
