package wear

import (
	"math"
	"slices"

	"limekeep/water/figure"
)

// limitLevels is what findings teach of a limit. A limit has two levels: what such
// parts have in common in this household, which findings teach, and what this one
// part has of its own, which ends with it. Which share of the catalogue's variance,
// of the logarithm, is each part's own, findings teach as well: it shrinks where they
// agree from part to part, and grows where they scatter.
//
// Both levels are standard normals; their sum, each times the root of its share, is
// the standard normal of the catalogue's limit.
//
// Use counts as well: where a household truly drew more than was written down, its
// parts last by as much more. What is learnt is therefore learnt for the use of each
// world by itself, so that what is wrong with it cancels.
type limitLevels struct {
	prior  figure.Percentiles
	groups []limitGroup
	of     []int   // group of each world
	own    float64 // share of the variance that is each part's own, as it now stands
}

// presentPart is the part that a limit is learnt for.
type presentPart struct {
	part int // how many came before it
	met  int // how many gauges can end its life, of one that was met with its past unknown; else 0
}

// limitGroup is what is learnt of a limit in worlds whose use is about the same.
type limitGroup struct {
	weights [levelNodes]float64 // of the present part's limit, by the nodes of the grid, summing to 1
	own     float64
}

// How the grid of the standard normal lies on which limits are learnt, and into how many
// groups of about the same use the worlds are cut. Choices of numerical method.
const (
	levelReach = 4.0
	levelStep  = 0.1
	levelNodes = 2*levelReach/levelStep + 1
	useGroups  = 12
	pastWorlds = 50 // that stand in for a past which nobody wrote down
)

// levelAt is a node of the grid.
func levelAt(node int) float64 { return levelStep*float64(node) - levelReach }

// normalDensity is that of the standard normal.
func normalDensity(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }

// limitAt is the limit at a standard normal.
func limitAt(prior figure.Percentiles, z float64) float64 {
	return prior.At(min(max(figure.NormalBelow(z), math.SmallestNonzeroFloat64), 1-1e-16))
}

// learnLimit learns from what was found, in some worlds, of the parts of a household,
// of which the present one comes last. Which of the worlds each group learns from, and
// which worlds it is for, groups tell.
func learnLimit(g Gauge, prior figure.Percentiles, worlds [][]observation, groups useOfWorlds, present presentPart) *limitLevels {
	l := &limitLevels{prior: prior, of: groups.of, groups: make([]limitGroup, len(groups.from))}
	e := newLimitEvidence(g, prior)
	for k, from := range groups.from {
		// A world counts by how well it explains what was found.
		taught, evidence, scale := &l.groups[k], 0.0, math.Inf(-1)
		for _, world := range from {
			weights, own, log := e.learn(worlds[world], present)
			before, now := 1.0, math.Exp(log-scale)
			if log > scale {
				before, now, scale = math.Exp(scale-log), 1, log
			}
			evidence = evidence*before + now
			taught.own = taught.own*before + own*now
			for i, w := range weights {
				taught.weights[i] = taught.weights[i]*before + w*now
			}
		}
		for i := range taught.weights {
			taught.weights[i] /= evidence
		}
		taught.own /= evidence
		l.own += taught.own / float64(len(groups.from))
	}
	return l
}

// learn weighs the nodes of the grid for the limit of the present part, in one world,
// and gives the share of the variance that is each part's own, and the logarithm of how
// likely all that was found is.
func (e *limitEvidence) learn(observed []observation, present presentPart) (weights [levelNodes]float64, own, logEvidence float64) {
	says := e.of(observed)
	past := says
	var now *partEvidence
	if n := len(says); n > 0 && says[n-1].part == present.part {
		past, now = says[:n-1], &says[n-1]
	}
	log := e.common.learn(past)
	met := [levelNodes]float64{}
	for i := range met {
		met[i] = 1
		if present.met > 0 {
			met[i] = metOften(e.limits[i], e.usual, present.met)
		}
	}
	evidence := 0.0
	for h := range careHabits {
		for o := range ownShares {
			prior := ownShares[o].prior * careHabits[h].prior
			given := e.common.next(h, o)
			sum := 0.0
			for i := range given {
				if now != nil {
					given[i] *= now.likelihood[h][i]
				}
				given[i] *= met[i]
				sum += given[i]
				weights[i] += prior * given[i]
			}
			evidence += prior * sum
			own += ownShares[o].share * prior * sum
		}
	}
	for i := range weights {
		weights[i] /= evidence
	}
	return weights, own / evidence, log + math.Log(evidence)
}

// draw draws the limit of the present part, one a world, with the uniforms that it has
// where nothing is learnt.
func (l *limitLevels) draw(d Draws, block, unknown string) []float64 {
	limits := d.Uniforms(block, unknown)
	for w, u := range limits {
		limits[w] = limitAt(l.prior, l.groups[l.of[w]].at(u))
	}
	return limits
}

// at is the standard normal below which a share of the limits lies.
func (g *limitGroup) at(share float64) float64 {
	below := 0.0
	for i, w := range g.weights {
		if share <= below+w && w > 0 {
			return levelAt(i) + levelStep*((share-below)/w-0.5)
		}
		below += w
	}
	return levelReach
}

// metOften is how much more often a part is met on a day that has a limit, against the
// usual one: in proportion to how long it lasts (Cox 1962, Renewal Theory, chapter 5), as
// far as that is its own; what all parts of a household have in common makes none of them
// be met more often than another. Where several gauges end a part's life, each has its
// root of that.
func metOften(limit, usual float64, gauges int) float64 {
	own := 0.0
	for _, o := range ownShares {
		own += o.share * o.prior
	}
	return math.Pow(limit/usual, own/float64(max(1, gauges)))
}

// metLimits are the limits of parts that are met on a day, one a world.
func metLimits(prior figure.Percentiles, uniforms []float64, gauges int) []float64 {
	var g limitGroup
	total := 0.0
	for i := range g.weights {
		g.weights[i] = normalDensity(levelAt(i)) * metOften(limitAt(prior, levelAt(i)), prior.Likely, gauges)
		total += g.weights[i]
	}
	for i := range g.weights {
		g.weights[i] /= total
	}
	limits := make([]float64, len(uniforms))
	for w, u := range uniforms {
		limits[w] = limitAt(prior, g.at(u))
	}
	return limits
}

// useOfWorlds groups the worlds by what they take use to have been.
type useOfWorlds struct {
	from [][]int // worlds that each group learns from
	of   []int   // group of each world
}

// groupByUse groups worlds by how much had gathered at what was found, as the mean
// logarithm: each group learns from the world nearest its middle of the first so many,
// which are those that were played. Where all are the same there is one group.
func groupByUse(gathered []float64, played int) useOfWorlds {
	u := useOfWorlds{of: make([]int, len(gathered))}
	order := make([]int, len(gathered))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case gathered[a] < gathered[b]:
			return -1
		case gathered[a] > gathered[b]:
			return 1
		}
		return 0
	})
	groups := min(useGroups, len(order))
	const same = 1e-6
	if gathered[order[len(order)-1]]-gathered[order[0]] < same {
		groups = 1
	}
	for k := range groups {
		first, last := k*len(order)/groups, (k+1)*len(order)/groups
		for _, world := range order[first:last] {
			u.of[world] = k
		}
		middle := order[(first+last)/2]
		nearest := 0
		for world := range min(played, len(gathered)) {
			if math.Abs(gathered[world]-gathered[middle]) < math.Abs(gathered[nearest]-gathered[middle]) {
				nearest = world
			}
		}
		u.from = append(u.from, []int{nearest})
	}
	return u
}

// allAlike lets all worlds learn the same, from some of them: where the past is unknown,
// how old the part was says more of what had gathered than use does.
func allAlike(worlds int) useOfWorlds {
	u := useOfWorlds{of: make([]int, worlds), from: [][]int{nil}}
	for w := range min(worlds, pastWorlds) {
		u.from[0] = append(u.from[0], w)
	}
	return u
}
