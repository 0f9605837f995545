package use

import (
	"math"
	"slices"

	"limekeep/schedule/record"
)

// Total is what some days came to together by a measurement, and how that
// compares with what was written down and expected of them.
type Total struct {
	Of        string      // id of the water line or the grinder
	Records   []int64     // the measurement's
	From, To  record.Date // the first and the last of the days
	Measured  float64     // litres or kilograms
	Accounted float64     // what the days came to before the correction
	Rest      float64     // what the correction cannot explain within reason; below 0 where less was measured
	Wrong     error       // why nothing was corrected; nil where it was
}

// How far what was written down may be off before a rest shows. All are
// assumptions, as log standard deviations.
const (
	habitLogSD = 0.25 // a stated habit against what is truly drunk
	waterLogSD = 0.12 // the water of a known number of drinks: flushes, purges, warm-ups
	doseLogSD  = 0.05 // coffee ground for a known number of shots: doses, dialling in
	// restSpreads is how many standard deviations a correction may reach.
	restSpreads = 2.0
)

// Days returns how many days the total is over.
func (t Total) Days() int { return int(t.To-t.From) + 1 }

// share is what one class of days has in a total, and how uncertain it is.
type share struct{ sum, logSD float64 }

// spread distributes what was measured beyond what was accounted for over the
// classes of days, by their variances, and gives the factor of each and the
// rest that lies beyond reason.
func spread(measured float64, shares []share) (factors []float64, rest float64) {
	// Spreads are kept, not their squares: the square of a very small one is zero.
	accounted, spread := 0.0, 0.0
	for _, s := range shares {
		accounted += s.sum
		spread = math.Hypot(spread, s.sum*s.logSD)
	}
	gap := measured - accounted
	reach := restSpreads * spread
	explained := max(-reach, min(reach, gap))
	factors = make([]float64, len(shares))
	for i, s := range shares {
		factors[i] = 1
		if spread > 0 && s.sum > 0 {
			factors[i] = 1 + explained/spread*(s.sum*s.logSD/spread)*s.logSD
		}
	}
	return factors, gap - explained
}

// class tells the days apart by how well they are known.
type class int

const (
	writtenDown class = iota
	correctedBefore
	byHabit
	classes
)

func classOf(d Day) class {
	switch {
	case d.Logged || d.Basis == ByAway:
		return writtenDown
	case d.Metered:
		return correctedBefore
	}
	return byHabit
}

// correct makes the days of some machines from from to to agree with a total.
// amount says what of a day was measured, logSDs how well each class of days
// tells it, scale how a day of a class takes its factor. It gives what the days
// came to before, and the rest.
func correct(pasts []*past, from, to record.Date, measured float64, amount func(Day) float64,
	logSDs [classes]float64, scale func(Day, class, float64) Day) (accounted, rest float64) {
	shares := make([]share, classes)
	eachOf := func(do func(*Day)) {
		for _, p := range pasts {
			for i := max(0, int(from-p.first)); i < len(p.days) && p.first+record.Date(i) <= to; i++ {
				do(&p.days[i])
			}
		}
	}
	for c, sd := range logSDs {
		shares[c].logSD = sd
	}
	eachOf(func(d *Day) {
		shares[classOf(*d)].sum += amount(*d)
		accounted += amount(*d)
	})
	factors, rest := spread(measured, shares)
	eachOf(func(d *Day) {
		c := classOf(*d)
		*d = scale(*d, c, factors[c])
		if c != writtenDown {
			d.Metered = true
		}
	})
	return accounted, rest
}

// sharedPasts returns the pasts of all machines of the place, by id, the one given
// among them.
func sharedPasts(book *record.Book, own *past) map[string]*past {
	pasts := map[string]*past{own.machine.ID: own}
	for _, e := range book.Equipment() {
		if e.Machine != nil && pasts[e.ID] == nil {
			pasts[e.ID] = pastOf(book, e, e.Bought)
		}
	}
	return pasts
}

// pick returns the pasts of some machines, in the order of their ids.
func pick(pasts map[string]*past, ids []string) []*past {
	sorted := slices.Sorted(slices.Values(ids))
	var picked []*past
	for _, id := range slices.Compact(sorted) {
		if p, ok := pasts[id]; ok {
			picked = append(picked, p)
		}
	}
	return picked
}
