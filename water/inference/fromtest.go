package inference

import (
	"fmt"

	"limekeep/water"
)

// The pool a set is thinned from: at least so many, and so many per analysis
// wanted.
const (
	poolLeast = 1500
	poolPer   = 20
	// The uniform that places the thinning, or each water's time in its race.
	thinDim = sampleRounds * sampleDims
)

// Dims is how many dimensions FromTest may ask uniforms for.
const Dims = thinDim + 1

// FromTest draws n full analyses (SetSize when n is not positive) that agree
// with a test and with what is to be expected of water: what was measured
// within its spread, the rest as the measured values leave it. Every analysis
// is electrically neutral and passes Validate. Its pH holds at the test's
// temperature.
//
// u gives uniforms in (0, 1) for sample i, counted from 0 to beyond n, and
// dimension dim below Dims; it must return the same for the same i and
// dim and be independent between them, so that the caller owns the chance.
//
// The error is one of Validate's, or a *ContradictionError when no water
// explains the values together. Values that merely fit badly are for Judge.
func FromTest(t water.Test, n int, u func(i, dim int) float64) (Set, error) {
	if n <= 0 {
		n = SetSize
	}
	pool, err := explain(t, n, u)
	if err != nil {
		return Set{}, err
	}
	return pool.thinSteadily(n, u, t.PHCelsius()), nil
}

// Check returns the error that FromTest would, nil where some water explains the
// test, without working out the analyses.
func Check(t water.Test, n int, u func(i, dim int) float64) error {
	if n <= 0 {
		n = SetSize
	}
	_, err := explain(t, n, u)
	return err
}

// explain draws the pool of waters that a set of n is thinned from.
func explain(t water.Test, n int, u func(i, dim int) float64) (samplePool, error) {
	if err := t.Validate(); err != nil {
		return samplePool{}, err
	}
	observations, err := t.Observations()
	if err != nil {
		return samplePool{}, fmt.Errorf("water test: %w", err)
	}
	pool := newSampler(observations, min(max(poolLeast, poolPer*n), thinnedMost), u).at(t.PHCelsius()).run()
	return pool, contradiction(t, observations, &pool, u)
}
