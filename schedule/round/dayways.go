package round

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// label is a way through a set of places to the last of them.
type label struct {
	time   float64 // when the person leaves it
	cost   float64
	before int32 // label of the set without it; -1 where the day begins with it
	last   int8
	choice int16 // option that is done there
	start  float64
}

// ways are the cheapest ways of a day through sets of its places.
type ways struct {
	r       *Request
	day     int
	among   []int      // places that the sets are of
	options [][]option // by place among them
	labels  []label
	at      map[uint32][]int32 // by set: labels
	best    map[uint32]int32   // by set: the cheapest way that is back in time
	cost    map[uint32]float64
}

// waysThrough goes through the sets of some places on a day, 30 at the most.
func (r *Request) waysThrough(day int, among []int) *ways {
	w := &ways{r: r, day: day, among: among, at: map[uint32][]int32{}, best: map[uint32]int32{}, cost: map[uint32]float64{}}
	for _, p := range among {
		w.options = append(w.options, r.options(p, day))
	}
	sets := []uint32{}
	for i := range among {
		w.extend(0, -1, r.Days[day].From, 0, 0, i)
		if _, ok := w.at[1<<i]; ok {
			sets = append(sets, 1<<i)
		}
	}
	for len(sets) > 0 {
		seen := map[uint32]bool{}
		var next []uint32
		for _, set := range sets {
			w.close(set)
			for _, l := range w.at[set] {
				from := w.labels[l]
				for i := range among {
					if set&(1<<i) == 0 {
						w.extend(set, l, from.time, from.cost, w.among[from.last]+1, i)
					}
				}
			}
			for i := range among {
				bigger := set | 1<<i
				if bigger != set && !seen[bigger] && len(w.at[bigger]) > 0 {
					seen[bigger] = true
					next = append(next, bigger)
				}
			}
		}
		sets = w.promising(next)
	}
	return w
}

const (
	// mostSets is how many sets of as many places are gone on from on a day; of more, the
	// cheapest.
	mostSets = 150
	// mostLabels is how many ways through the same places to the same last one are gone on
	// from; of more, the cheapest.
	mostLabels = 6
)

// promising leaves of sets of as many places those whose ways are the cheapest.
func (w *ways) promising(sets []uint32) []uint32 {
	if len(sets) <= mostSets {
		return sets
	}
	w.r.thinned = true
	cost := make(map[uint32]float64, len(sets))
	for _, set := range sets {
		best := math.Inf(1)
		for _, k := range w.at[set] {
			best = min(best, w.labels[k].cost)
		}
		cost[set] = best
	}
	slices.SortFunc(sets, func(a, b uint32) int { return cmp.Or(cmp.Compare(cost[a], cost[b]), cmp.Compare(a, b)) })
	for _, set := range sets[mostSets:] {
		delete(w.at, set)
	}
	return sets[:mostSets]
}

// extend adds to a way the visit of another place, with each of its options.
func (w *ways) extend(set uint32, before int32, time, cost float64, point, i int) {
	place := w.among[i]
	road := w.r.Travel[point][place+1]
	back := w.r.Travel[place+1][0]
	for k := range w.options[i] {
		o := &w.options[i][k]
		start, ok := w.r.starts(place, w.day, time+road, o)
		if !ok {
			continue
		}
		end := start + w.r.Stop + o.Minutes
		if end+back > w.r.Days[w.day].To {
			continue
		}
		w.add(set|1<<i, label{time: end, cost: cost + road + w.r.Stop - o.gain - w.r.Places[place].Again, before: before, last: int8(i), choice: int16(k), start: start})
	}
}

// add keeps a label unless another to the same place beats it; those it beats go, and of
// too many the dearest.
func (w *ways) add(set uint32, l label) {
	list := w.at[set]
	kept := list[:0]
	same, dearest := 0, -1
	for _, k := range list {
		other := &w.labels[k]
		if other.last == l.last && other.time <= l.time && other.cost <= l.cost {
			return
		}
	}
	for _, k := range list {
		other := &w.labels[k]
		if other.last == l.last {
			if other.time >= l.time && other.cost >= l.cost {
				continue
			}
			if same++; dearest < 0 || other.cost > w.labels[kept[dearest]].cost {
				dearest = len(kept)
			}
		}
		kept = append(kept, k)
	}
	if same >= mostLabels {
		w.r.thinned = true
		if w.labels[kept[dearest]].cost <= l.cost {
			w.at[set] = kept
			return
		}
		kept = slices.Delete(kept, dearest, dearest+1)
	}
	w.labels = append(w.labels, l)
	w.at[set] = append(kept, int32(len(w.labels)-1))
}

// close finds the cheapest way through a set that is back.
func (w *ways) close(set uint32) {
	cost, best := math.Inf(1), int32(-1)
	for _, k := range w.at[set] {
		l := &w.labels[k]
		if whole := l.cost + w.r.Travel[w.among[l.last]+1][0]; whole < cost {
			cost, best = whole, k
		}
	}
	if best >= 0 {
		w.best[set], w.cost[set] = best, cost
	}
}

// visits writes the cheapest way through a set as visits.
func (w *ways) visits(set uint32) []Visit {
	all := make([]Visit, bits.OnesCount32(set))
	for k, n := w.best[set], len(all)-1; n >= 0; n-- {
		l := w.labels[k]
		place := w.among[l.last]
		o := w.options[l.last][l.choice]
		all[n] = Visit{Day: w.day, Place: place, Jobs: o.jobs, Start: l.start, Work: l.start + w.r.Stop, End: l.time}
		k = l.before
	}
	point := 0
	for i := range all {
		all[i].Road = w.r.Travel[point][all[i].Place+1]
		point = all[i].Place + 1
	}
	return all
}
