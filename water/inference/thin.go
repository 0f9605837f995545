package inference

import (
	"math"
	"slices"

	"limekeep/water"
)

// thinner draws a few waters of a pool so that they stay the same, or nearly, where a
// little else was measured.
//
// The pool is cut into as many groups of equal weight as waters are wanted, by the
// uniforms that its waters were drawn with: halves by one of them, each half by the next
// (a k-d tree: Bentley 1975, Communications of the ACM 18, 9). So groups lie evenly over
// what is unknown, and hold much the same waters whatever was measured. Each gives one of
// its waters, in proportion to their weights. Which, a race decides: every water has a
// time, the same whatever was measured, that is the shorter the more it weighs (permanent
// random numbers: Ohlsson 1995, in Business Survey Methods, chapter 9). A little more of a
// measured value changes weights a little, and few races.
type thinner struct {
	by    [][]uint64 // a number for each water, in the order in which they cut
	times []float64  // of the waters, at a weight of 1
	room  []uint64
	from  []thinned
	drawn []int // a water of each group
}

// thinned is what a group has of a water's weight: one where groups meet belongs to both.
type thinned struct {
	index int
	share float64
}

// thinDims are the dimensions that cut, those first that scale hangs on most where
// hardness was measured.
var thinDims = [...]int{latentAlkalinity, latentPH, latentCalcium, latentHardness}

// How a uniform and a place, in the last bits, are one number to be put in order by.
const (
	thinPlaceBits = 20
	thinnedMost   = 1 << thinPlaceBits // waters that a pool can have
)

// thinSteadily draws n from the pool, which has no more than thinnedMost, each in
// proportion to its weight. u gives the uniforms that the pool was drawn with.
func (p *samplePool) thinSteadily(n int, u func(i, dim int) float64, celsius float64) Set {
	ws := p.weights(1)
	t := thinner{times: make([]float64, len(p.z))}
	var all []thinned
	for i, w := range ws {
		if w > 0 {
			all = append(all, thinned{i, w})
			t.times[i] = -math.Log(openUniform(u(i, thinDim)))
		}
	}
	for _, dim := range thinDims {
		row := make([]uint64, len(p.z))
		for _, w := range all {
			uniform := openUniform(u(w.index, p.round*sampleDims+proposalFirstDim+dim))
			row[w.index] = uint64(uniform*(1<<(64-thinPlaceBits))) << thinPlaceBits
		}
		t.by = append(t.by, row)
	}
	t.room, t.from = make([]uint64, len(all)), make([]thinned, len(all))
	t.cut(all, 1, n, 0)
	var set Set
	for _, i := range t.drawn {
		var totals water.Totals
		p.z[i].totals(&totals)
		set.Analyses = append(set.Analyses, totals.Analysis(celsius, p.z[i][latentPH]))
		set.Weights = append(set.Weights, 1/float64(n))
	}
	return set
}

// cut cuts waters of some weight into n groups, and draws one of each.
func (t *thinner) cut(waters []thinned, weight float64, n, level int) {
	if n == 1 {
		t.drawn = append(t.drawn, t.first(waters))
		return
	}
	by := t.by[level%len(t.by)]
	room, from := t.room[:len(waters)], t.from[:len(waters)]
	copy(from, waters)
	for k, w := range waters {
		room[k] = by[w.index] | uint64(k)
	}
	slices.Sort(room)
	for k, key := range room {
		waters[k] = from[key%thinnedMost]
	}
	below := weight * float64(n/2) / float64(n)
	at, left := 0, below // the water that both have, and what is left to fill before it
	for at < len(waters)-1 && waters[at].share <= left {
		left -= waters[at].share
		at++
	}
	both := waters[at]
	waters[at].share = min(both.share, left)
	t.cut(waters[:at+1], below, n/2, level+1)
	waters[at] = thinned{both.index, max(0, both.share-left)} // the others are drawn of by now
	t.cut(waters[at:], weight-below, n-n/2, level+1)
}

// first gives the water that wins a group's race.
func (t *thinner) first(group []thinned) int {
	best, winner := math.Inf(1), group[0].index
	for _, w := range group {
		if time := t.times[w.index] / w.share; time < best {
			best, winner = time, w.index
		}
	}
	return winner
}
