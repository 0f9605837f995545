package wear

import (
	"math"
	"sync"

	"limekeep/water/figure"
)

// commonLevel is what the parts before tell of the level that all parts of a household
// have in common: how likely all that was found of them is at each level, by the habit of
// care and by the share of the variance that is each part's own. Where that share is none
// the level is the limit itself, on the nodes of its grid; else it stands on every second
// of them, since what a part has of its own smooths what it tells.
type commonLevel struct {
	likelihood [len(careHabits)][len(ownShares)][levelNodes]float64
}

// ownShare is a share of the variance that each part can have of its own, and how likely
// it is before anything was found.
type ownShare struct{ share, prior float64 }

// ownShares are those that are told apart. Assumption.
var ownShares = [...]ownShare{{0, 0.3}, {0.25, 0.15}, {0.5, 0.4}, {0.75, 0.15}}

// How the common level lies on the grid.
const (
	commonEvery = 2 // nodes of the grid from one to the next
	commonNodes = int(levelNodes+1) / commonEvery
	ownReach    = 4.0 // standard deviations of a part's own level
)

// ownLevel is where a part's own limit lies at each common level.
type ownLevel struct {
	coarse [commonNodes]band // over every second node, summing to 1
	fine   [commonNodes]band // over all nodes, summing to 1
}

// band is a row of weights, from a node on.
type band struct {
	from    int
	weights []float64
}

// ownLevels gives those of ownShares; of none there is nothing to work out. It is worked
// out when something is learnt for the first time.
var ownLevels = sync.OnceValue(func() *[len(ownShares)]ownLevel {
	var all [len(ownShares)]ownLevel
	for o, own := range ownShares {
		if own.share == 0 {
			continue
		}
		for c := range commonNodes {
			middle := math.Sqrt(1-own.share) * levelAt(c*commonEvery)
			all[o].coarse[c] = newBand(middle, math.Sqrt(own.share), commonEvery*levelStep, commonNodes)
			all[o].fine[c] = newBand(middle, math.Sqrt(own.share), levelStep, levelNodes)
		}
	}
	return &all
})

// newBand is a normal distribution on so many nodes, those at the ends holding what lies
// beyond.
func newBand(middle, sd, step float64, nodes int) band {
	at := func(z float64) int { return min(max(int(math.Round((z+levelReach)/step)), 0), nodes-1) }
	b := band{from: at(middle - ownReach*sd)}
	b.weights = make([]float64, at(middle+ownReach*sd)-b.from+1)
	below := 0.0
	for i := range b.weights {
		upTo := 1.0
		if i < len(b.weights)-1 {
			upTo = figure.NormalBelow((step*(float64(b.from+i)+0.5) - levelReach - middle) / sd)
		}
		b.weights[i], below = upTo-below, upTo
	}
	return b
}

// learn works out the likelihoods from the evidence of the parts before, all divided by
// the same, of which it gives the logarithm.
func (l *commonLevel) learn(past []partEvidence) (log float64) {
	for h := range careHabits {
		for o, own := range ownShares {
			nodes, every := commonNodes, commonEvery
			if own.share == 0 {
				nodes, every = int(levelNodes), 1
			}
			for c := range nodes {
				l.likelihood[h][o][c] = normalDensity(levelAt(c*every)) * float64(every) * levelStep
			}
		}
	}
	levels := ownLevels()
	for i := range past {
		most := 0.0
		for h := range careHabits {
			said := &past[i].likelihood[h]
			var coarse [commonNodes]float64 // each node stands for half of its neighbours too
			coarse[0], coarse[commonNodes-1] = said[0], said[levelNodes-1]
			for c := 1; c < commonNodes-1; c++ {
				at := c * commonEvery
				coarse[c] = said[at]/2 + (said[at-1]+said[at+1])/4
			}
			for o, own := range ownShares {
				all := &l.likelihood[h][o]
				if own.share == 0 {
					for c := range all {
						all[c] *= said[c]
						most = max(most, all[c])
					}
					continue
				}
				for c := range commonNodes {
					row := &levels[o].coarse[c]
					mean := 0.0
					for k, s := range coarse[row.from : row.from+len(row.weights)] {
						mean += row.weights[k] * s
					}
					all[c] *= mean
					most = max(most, all[c])
				}
			}
		}
		for h := range l.likelihood { // that nothing gets too small
			for o := range l.likelihood[h] {
				for c := range l.likelihood[h][o] {
					l.likelihood[h][o][c] /= most
				}
			}
		}
		log += math.Log(most)
	}
	return log
}

// next is how likely what was found of the parts before is together with each limit of
// the next one, over the nodes of the grid.
func (l *commonLevel) next(habit, own int) (given [levelNodes]float64) {
	if ownShares[own].share == 0 {
		return l.likelihood[habit][own]
	}
	levels := ownLevels()
	for c := range commonNodes {
		w := l.likelihood[habit][own][c]
		if w < 1e-12 {
			continue
		}
		row := &levels[own].fine[c]
		to := given[row.from : row.from+len(row.weights)]
		for k, share := range row.weights {
			to[k] += w * share
		}
	}
	return given
}
