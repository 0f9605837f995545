package wear

import (
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Window is when something falls due: the 10, 50 and 90 % points over all
// worlds. A date that lies beyond the horizon is the zero date.
type Window struct {
	Early, Likely, Late record.Date
}

// HorizonYears is how far a forecast reaches; what crosses later has no date.
const HorizonYears = 5

// never stands for a crossing beyond the horizon, and sorts after every date.
const never = record.Date(1<<31 - 1)

// blur is by how large a share of the worlds to either side a date is taken over: it is
// the mean of the crossings there. Where crossings come in crowds, such as at the ends of
// one cartridge after another, a date that is a single world's would leap from one crowd
// to the next for a hundredth more of anything (kernel estimators of quantiles: Sheather
// and Marron 1990, Journal of the American Statistical Association 85). At 3 % the 10 %
// point of a normal distribution lies 0.006 standard deviations sooner than it is.
const blur = 0.03

// newWindow takes the points of the crossings, one a world, and leaves them in another
// order. What is crossed after the last day that counts has no date.
func newWindow(crossings []record.Date, last record.Date) Window {
	var ranks []int
	for _, share := range [...]float64{figure.LowShare, figure.LikelyShare, figure.HighShare} {
		from, at, to := blurred(share, len(crossings))
		ranks = append(ranks, from, at, to)
	}
	figure.Select(crossings, slices.Compact(ranks)...)
	return windowOf(crossings, last)
}

// windowAndQuantiles tells crossings, one a world, both ways, and leaves them sorted.
func windowAndQuantiles(crossings []record.Date, last record.Date) (Window, Quantiles) {
	slices.Sort(crossings)
	return windowOf(crossings, last), quantilesOf(crossings)
}

// blurred gives the ranks, of so many crossings, between which the date of a share is
// taken, both among them, and its own.
func blurred(share float64, n int) (from, at, to int) {
	at = min(n-1, int(share*float64(n)))
	by := min(int(blur*float64(n)), at, n-1-at)
	return at - by, at, at + by
}

func windowOf(sorted []record.Date, last record.Date) Window {
	point := func(share float64) record.Date {
		from, at, to := blurred(share, len(sorted))
		if sorted[at] == never {
			return 0
		}
		sum, beyond, n := 0.0, 0.0, float64(to+1-from)
		for _, d := range sorted[from : to+1] {
			if sum += float64(min(d, last)); d == never {
				beyond++
			}
		}
		// Where half of them lie beyond the last day there is no date, so that it moves
		// towards that day before.
		mean := sum / n
		return record.Date(math.Round(mean + min(1, 2*beyond/n)*(float64(last)-mean)))
	}
	return Window{Early: point(figure.LowShare), Likely: point(figure.LikelyShare), Late: point(figure.HighShare)}
}

// QuantileCount is how many points a crossing is told by.
const QuantileCount = 21

// Quantiles are equally likely days of a crossing, the soonest first: point i
// stands for the worlds between the shares i and i+1 of QuantileCount. The zero
// date, at the end, lies beyond the horizon.
type Quantiles [QuantileCount]record.Date

func quantilesOf(sorted []record.Date) Quantiles {
	var q Quantiles
	for i := range q {
		d := sorted[min(len(sorted)-1, (2*i+1)*len(sorted)/(2*QuantileCount))]
		if d != never {
			q[i] = d
		}
	}
	return q
}
