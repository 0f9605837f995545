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

// ownShares are the shares of the variance that each part can have of its own, and how
// likely each is before anything was found. Assumption.
var ownShares = [...]struct{ share, prior float64 }{{0, 0.35}, {0.25, 0.15}, {0.5, 0.36}, {0.75, 0.14}}

// How the grid of the standard normal lies on which limits are learnt, and into how many
// groups of about the same use the worlds are cut. Choices of numerical method.
const (
	levelReach  = 4.0
	levelStep   = 0.1
	levelNodes  = 2*levelReach/levelStep + 1
	commonEvery = 2 // nodes of the grid from one of the common level to the next
	ownReach    = 3.0
	ownStep     = 0.75
	useGroups   = 12
	pastWorlds  = 50 // that stand in for a past which nobody wrote down
)

// levelAt is a node of the grid.
func levelAt(node int) float64 { return levelStep*float64(node) - levelReach }

// onLevels interpolates what is worked out over the grid.
func onLevels(values []float64, z float64) float64 {
	at := min(max((z+levelReach)/levelStep, 0), float64(len(values)-1))
	i := min(int(at), len(values)-2)
	return values[i] + (at-float64(i))*(values[i+1]-values[i])
}

// normalDensity is that of the standard normal.
func normalDensity(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }

// ownNodes are the standard normals that stand for a part's own level, with their
// weights, summing to 1.
var ownNodes = func() (nodes [][2]float64) {
	total := 0.0
	for z := -ownReach; z <= ownReach; z += ownStep {
		nodes = append(nodes, [2]float64{z, normalDensity(z)})
		total += normalDensity(z)
	}
	for i := range nodes {
		nodes[i][1] /= total
	}
	return nodes
}()

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
	// One entry a habit of care and a share of own variance: the common level given the
	// parts before, as logarithms, that nothing gets too small.
	type common struct {
		share, prior float64
		sight        int
		logs         []float64
	}
	var all []common
	most := math.Inf(-1)
	for s, habit := range bySightShares {
		for _, o := range ownShares {
			c := common{share: o.share, prior: o.prior * habit.prior, sight: s}
			every := commonEvery
			if o.share == 0 {
				every = 1
			}
			for node := 0; node < levelNodes; node += every {
				z := levelAt(node)
				log := -z * z / 2
				for i := range past {
					log += math.Log(meanOverOwn(past[i].likelihood[s][:], z, o.share))
				}
				c.logs = append(c.logs, log)
				most = max(most, log)
			}
			all = append(all, c)
		}
	}
	evidence := 0.0
	for _, c := range all {
		sum := 0.0
		var given [levelNodes]float64
		if c.share == 0 {
			for i, log := range c.logs {
				given[i] = math.Exp(log-most) * levelStep
			}
		} else {
			common, own := math.Sqrt(1-c.share), math.Sqrt(c.share)
			for k, log := range c.logs {
				w := math.Exp(log-most) * commonEvery * levelStep
				if w < 1e-12 {
					continue
				}
				z := common * levelAt(k*commonEvery)
				for i := range given {
					if d := (levelAt(i) - z) / own; math.Abs(d) < 6 {
						given[i] += w * normalDensity(d) / own * levelStep
					}
				}
			}
		}
		for i := range given {
			if now != nil {
				given[i] *= now.likelihood[c.sight][i]
			}
			if present.met > 0 {
				given[i] *= metOften(e.limits[i], e.usual, present.met)
			}
			sum += given[i]
			weights[i] += c.prior * given[i]
		}
		evidence += c.prior * sum
		own += c.share * c.prior * sum
	}
	for i := range weights {
		weights[i] /= evidence
	}
	return weights, own / evidence, most + math.Log(evidence)
}

// meanOverOwn is the mean of a likelihood over a part's own level, at a common one.
func meanOverOwn(likelihood []float64, common, share float64) float64 {
	if share == 0 {
		return onLevels(likelihood, common)
	}
	mean, a, b := 0.0, math.Sqrt(1-share)*common, math.Sqrt(share)
	for _, node := range ownNodes {
		mean += node[1] * onLevels(likelihood, a+b*node[0])
	}
	return mean
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
