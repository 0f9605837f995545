package score

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"limekeep/water/figure"
)

// Promise is the share of findings that a window is to hold: from its 10 to its
// 90 % point.
const Promise = figure.HighShare - figure.LowShare

// ClopperPearson returns the interval that holds the true share behind so many of a
// number of cases, nine times in ten or more often, by the quantiles of the beta
// distribution (Clopper and Pearson 1934, Biometrika 26). Shares of cases may be
// counted: they vary less than whole ones, so that it then holds the more often.
// Without cases it is all from 0 to 1.
func ClopperPearson(held float64, cases int) (low, high float64) {
	const tail = 0.05
	n := float64(cases)
	held = min(max(held, 0), n)
	low, high = 0, 1
	if held > 0 {
		low = mathext.InvRegIncBeta(held, n-held+1, tail)
	}
	if held < n {
		high = mathext.InvRegIncBeta(held+1, n-held, 1-tail)
	}
	return low, high
}

// Verdict is what so many findings say of windows.
type Verdict string

// What can be said.
const (
	TooFew     Verdict = "too few to tell"
	AsPromised Verdict = "as promised"
	TooNarrow  Verdict = "too narrow" // they hold less often than promised
	TooWide    Verdict = "too wide"   // they hold more often than promised
)

// CasesToTell is the least number of findings of which, if all were inside, one
// could say that the windows are too wide: with fewer, nothing that the windows
// could do would tell them from honest ones. A miss tells sooner.
var CasesToTell = int(math.Ceil(math.Log(0.05) / math.Log(Promise)))

// judge says what so many of a number of cases say of windows.
func judge(held float64, cases int) Verdict {
	low, high := ClopperPearson(held, cases)
	switch {
	case high < Promise:
		return TooNarrow
	case low > Promise:
		return TooWide
	case cases < CasesToTell:
		return TooFew
	}
	return AsPromised
}
