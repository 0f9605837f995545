// Package inference is the chapter on how to get from a water test of two or
// three numbers to full analyses: not one, but a weighted Set of all that agree
// with what was measured, within the spread of the method, and with what public
// supplies are like.
//
// FromTest draws it by importance sampling (population Monte Carlo: Cappé,
// Guillin, Marin and Robert 2004) from a prior of three kinds of water, every
// one electrically neutral; Unmeasured draws from the prior alone. A test whose
// values no water can have together is a ContradictionError that names the
// suspect; one whose values merely fit badly gets a Doubt from Judge.
//
// The prior is an assumption, set to the middle of what European and North
// American supplies report; spreads of methods are those of package water.
//
// Its tests hold it to waters invented by another piece of code, which draws
// ion by ion and throws away what is not neutral: the distributions agree, and
// of what was not measured the intervals hold the truth as often as they say.
package inference
