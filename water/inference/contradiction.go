package inference

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"limekeep/water"
)

// ContradictionError says that no water explains all values of a test within
// their spreads. Suspects are the values without which the rest fits, likeliest
// first, the unlikely ones left out. There are none when more than one value is
// wrong.
type ContradictionError struct {
	Suspects []Suspect
	Others   []water.Quantity // what else was measured
}

// Suspect is a value that does not fit the rest.
type Suspect struct {
	Quantity  water.Quantity
	Value     float64 // as written, in Unit
	Unit      water.Unit
	Low, High float64 // in Unit: where the others put it, 5 to 95 %
}

// Error says which value looks wrong and what the others would have it be.
func (e *ContradictionError) Error() string {
	if len(e.Suspects) == 0 {
		return "the values of the water test contradict each other, and more than one of them: check units and decimal points, or measure again"
	}
	var parts []string
	for _, s := range e.Suspects {
		parts = append(parts, fmt.Sprintf("%s %.4g %s (the other values put it between %.3g and %.3g)", s.Quantity, s.Value, s.Unit, s.Low, s.High))
	}
	return fmt.Sprintf("no water has all these values: measure again %s", strings.Join(parts, ", or "))
}

const (
	// contradictionBeyond is the deviance, minus twice the log-likelihood,
	// beyond which values contradict each other: a single value 5.5
	// standard deviations off (assumption). Each further value adds one, the
	// mean of chi-squared.
	contradictionBeyond = 30.0
	// A value this many times less likely to be the wrong one than the
	// likeliest is no suspect (assumption).
	contradictionOdds = 20.0
	// The pool is smaller where only a range is wanted.
	contradictionPool = 2000
)

// contradiction returns a *ContradictionError when not even the best water of
// the pool explains the observations.
func contradiction(t water.Test, observations []water.Observation, pool *samplePool, u func(i, dim int) float64) error {
	if contradictionDeviance(pool, len(observations)) <= contradictionBeyond && pool.weights(1) != nil {
		return nil
	}
	type found struct {
		suspect Suspect
		logOdds float64
	}
	var founds []found
	e := &ContradictionError{}
	for k, r := range observations {
		e.Others = append(e.Others, r.Quantity)
		rest := append(append([]water.Observation{}, observations[:k]...), observations[k+1:]...)
		without := newSampler(rest, contradictionPool, u).at(t.PHCelsius()).run()
		if contradictionDeviance(&without, len(rest)) > contradictionBeyond || without.weights(1) == nil {
			continue
		}
		// The odds that this is the wrong one: how probable the others are
		// together, times how easily a wrong value comes as close to this
		// one as its spread.
		_, spread := r.Lognormal()
		odds := without.logEvidence() + math.Log(spread)
		m := t.Value(r.Quantity)
		low, _ := r.Quantity.In(without.quantile(0.05, r.Quantity), m.Unit) // the unit was validated
		high, _ := r.Quantity.In(without.quantile(0.95, r.Quantity), m.Unit)
		founds = append(founds, found{Suspect{r.Quantity, m.Value, m.Unit, low, high}, odds})
	}
	sort.SliceStable(founds, func(a, b int) bool { return founds[a].logOdds > founds[b].logOdds })
	for _, f := range founds {
		if f.logOdds >= founds[0].logOdds-math.Log(contradictionOdds) {
			e.Suspects = append(e.Suspects, f.suspect)
			for i, q := range e.Others {
				if q == f.suspect.Quantity {
					e.Others = append(e.Others[:i], e.Others[i+1:]...)
					break
				}
			}
		}
	}
	return e
}

// contradictionDeviance is how far the best water of the pool is from the
// observations, less what chance alone would leave.
func contradictionDeviance(pool *samplePool, observations int) float64 {
	agreement, _ := pool.closest()
	return -2*agreement - math.Max(float64(observations-1), 0)
}
