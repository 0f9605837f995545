package use

import "math"

// habitFactor is what is known of how many shots a day are drunk, as a factor on the
// habit: a mixture of Gamma distributions, each of which forgets at its own
// pace. Counts of shots are Poisson in kind, with a spread of their own; the
// Gamma distribution is conjugate to them, and discounting it makes a change of
// habit show (West and Harrison 1997, Bayesian Forecasting and Dynamic Models).
// The weights follow how well each forecast the days so far, with forgetting
// (Raftery, Kárný and Ettler 2010, Technometrics 52, 52). Both references are
// from memory.
type habitFactor struct {
	gammas     [len(memories)]gamma
	dispersion dispersion
	logSD      float64 // how uncertain the habit is by itself
}

// gamma is one member of the mixture: mean shape/rate.
type gamma struct {
	shape, rate float64
	weight      float64
}

// memories are the shares of what is known that are left after a day: those of
// about a fortnight, a month and half a year (assumption).
var memories = [...]float64{0.92, 0.97, 0.995}

const (
	// weightMemory makes the weights forget, so that the quick member is believed
	// soon after a change (assumption).
	weightMemory = 0.985
	leastWeight  = 0.01
)

// newHabitFactor knows the habit alone, and how uncertain that is.
func newHabitFactor(logSD float64) habitFactor {
	f := habitFactor{dispersion: newDispersion()}
	f.forget(logSD)
	return f
}

// forget goes back to the stated habit, as on the day a new one is stated. How
// much days differ among each other stays known.
func (f *habitFactor) forget(logSD float64) {
	f.logSD = logSD
	information := 1 / (logSD * logSD)
	for i := range f.gammas {
		f.gammas[i] = gamma{shape: information, rate: information, weight: 1 / float64(len(memories))}
	}
}

// pass lets a day go by. No member comes to know less than a stated habit
// tells, in spread, though its middle stays where it was.
func (f *habitFactor) pass() {
	least := 1 / (f.logSD * f.logSD)
	for i, keep := range memories {
		g := &f.gammas[i]
		keep = max(keep, min(1, least/g.shape))
		g.shape *= keep
		g.rate *= keep
	}
}

// relyDays is how soon a log that ended loses its say to the stated habit, which
// counts for the days since (assumption).
const relyDays = 60.0

// rely lets a day go by of which nothing is known but the habit.
func (f *habitFactor) rely() {
	for i := range f.gammas {
		g := &f.gammas[i]
		g.shape += (g.rate - g.shape) / relyDays
	}
}

// see takes a day of which so many shots were expected at factor 1. A share of 1
// is a day that was counted; less is one known only with its neighbours.
func (f *habitFactor) see(shots, expected, share float64) {
	if expected <= 0 {
		return
	}
	middle, _ := f.moments(0)
	phi := f.dispersion.factor()
	x, mu := share*shots/phi, share*expected/phi
	best := math.Inf(-1)
	var logs [len(memories)]float64
	for i, g := range f.gammas {
		logs[i] = weightMemory*math.Log(g.weight) + gammaPoisson(x, g.shape, g.rate/mu)
		best = max(best, logs[i])
	}
	sum := 0.0
	for i := range f.gammas {
		g := &f.gammas[i]
		g.weight = max(leastWeight, math.Exp(logs[i]-best))
		sum += g.weight
		g.shape += x
		g.rate += mu
	}
	for i := range f.gammas {
		f.gammas[i].weight /= sum
	}
	if share == 1 {
		f.dispersion.see(shots, expected*middle)
	}
}

// gammaPoisson is the log of the chance of a count whose mean is Gamma
// distributed; the count need not be whole.
func gammaPoisson(x, shape, rate float64) float64 {
	a, _ := math.Lgamma(shape + x)
	b, _ := math.Lgamma(shape)
	c, _ := math.Lgamma(x + 1)
	return a - b - c + shape*math.Log(rate/(1+rate)) - x*math.Log(1+rate)
}

// moments returns the mean of the factor, and the variance of its average over so
// many days to come, in which it goes on changing at the pace of each memory.
func (f *habitFactor) moments(days float64) (mean, variance float64) {
	for _, g := range f.gammas {
		mean += g.weight * g.shape / g.rate
	}
	for i, g := range f.gammas {
		own := g.shape / g.rate
		drift := 1 + (1/memories[i]-1)*days/3 // a random walk's average over its days
		variance += g.weight * (own/g.rate*drift + (own-mean)*(own-mean))
	}
	return mean, variance
}
