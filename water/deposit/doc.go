// Package deposit is the chapter on scale once it is there: its mass, how thick
// it lies, how much hotter an element runs beneath it, what that costs at each
// warm-up, how much flow is left to a jet, and the share of its potential that
// a passing water lays down in the time it stays.
//
// The formulas are plain geometry and heat conduction; the tests work each out
// by hand.
package deposit
