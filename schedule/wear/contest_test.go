package wear

import (
	"fmt"
	"math"
	"slices"
)

// Contest holds windows against what three forecasters would have said that anybody
// could make: the maker's interval, the last interval again, and the mean of past
// intervals. All is counted as the logarithm of days since the last service, so that
// a factor costs the same in a week and in a year.
//
// The three give a day and no window. Each is given the factor either way that would
// have served it best, found from the truth itself, and the maker the interval that
// would: better than any of them could know.
type Contest struct {
	ours, truth []float64
	past        [][]float64 // days of the intervals before, oldest first
}

// Add counts one window: its dates and the crossing in days since the last service.
func (c *Contest) Add(early, late, crossed float64, past []float64) {
	log := func(days float64) float64 { return math.Log(max(days, 1)) }
	c.ours = append(c.ours, intervalScore(log(early), log(late), log(crossed)))
	c.truth, c.past = append(c.truth, log(crossed)), append(c.past, past)
}

// intervalScore is that of Gneiting and Raftery 2007 (Journal of the American
// Statistical Association 102, equation 43) for an interval that holds eight times
// in ten.
func intervalScore(low, high, truth float64) float64 {
	const alpha = 0.2
	return high - low + 2/alpha*(max(0, low-truth)+max(0, truth-high))
}

// Standing is the mean interval scores of a contest; less is better. A rival that
// nothing was known for has none.
type Standing struct {
	Windows           int
	Ours              float64
	Maker, Last, Mean Rival
}

// Rival is what a forecaster scores with its day alone, and with its best factor.
type Rival struct {
	Day, Best, Factor float64
}

// Standing works the scores out.
func (c *Contest) Standing() Standing {
	sorted := slices.Clone(c.truth)
	slices.Sort(sorted)
	middle := sorted[len(sorted)/2] // no other single day is nearer to all
	return Standing{
		Windows: len(c.ours), Ours: meanOf(c.ours),
		Maker: c.rival(0, func([]float64) float64 { return middle }),
		Last:  c.rival(1, func(past []float64) float64 { return math.Log(past[len(past)-1]) }),
		Mean:  c.rival(1, func(past []float64) float64 { return math.Log(meanOf(past)) }),
	}
}

// rival scores a forecaster, who needs so many intervals to speak.
func (c *Contest) rival(needs int, says func(past []float64) float64) Rival {
	for _, past := range c.past {
		if len(past) < needs {
			return Rival{Day: math.NaN(), Best: math.NaN(), Factor: math.NaN()}
		}
	}
	at := func(width float64) float64 {
		sum := 0.0
		for i, truth := range c.truth {
			day := says(c.past[i])
			sum += intervalScore(day-width, day+width, truth)
		}
		return sum / float64(len(c.truth))
	}
	r := Rival{Day: at(0), Best: at(0), Factor: 1}
	for width := 0.02; width < 3; width += 0.02 {
		if score := at(width); score < r.Best {
			r.Best, r.Factor = score, math.Exp(width)
		}
	}
	return r
}

// String is a line of the table.
func (s Standing) String() string {
	rival := func(r Rival) string { return fmt.Sprintf("%5.2f (bare %5.2f)", r.Best, r.Day) }
	return fmt.Sprintf("%4d windows: ours %.2f | maker's interval %s | last interval again %s | mean of past ones %s",
		s.Windows, s.Ours, rival(s.Maker), rival(s.Last), rival(s.Mean))
}

// Unbeaten lists the rivals that are not beaten.
func (s Standing) Unbeaten() []string {
	var names []string
	for name, r := range map[string]Rival{"the maker's interval": s.Maker, "the last interval again": s.Last, "the mean of past intervals": s.Mean} {
		if r.Best <= s.Ours {
			names = append(names, fmt.Sprintf("%s (%.2f against %.2f)", name, r.Best, s.Ours))
		}
	}
	slices.Sort(names)
	return names
}
