package wear

import (
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

// newWindow takes the points of the crossings, one a world, and leaves them in another
// order.
func newWindow(crossings []record.Date) Window {
	figure.SelectQuantiles(crossings, figure.LowShare, figure.LikelyShare, figure.HighShare)
	return windowOf(crossings)
}

// windowAndQuantiles tells crossings, one a world, both ways, and leaves them sorted.
func windowAndQuantiles(crossings []record.Date) (Window, Quantiles) {
	slices.Sort(crossings)
	return windowOf(crossings), quantilesOf(crossings)
}

func windowOf(sorted []record.Date) Window {
	at := func(share float64) record.Date {
		d := figure.Quantile(sorted, share)
		if d == never {
			return 0
		}
		return d
	}
	return Window{Early: at(figure.LowShare), Likely: at(figure.LikelyShare), Late: at(figure.HighShare)}
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
