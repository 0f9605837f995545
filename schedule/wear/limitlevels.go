package wear

import (
	"math"

	"limekeep/water/figure"
)

// limitLevels is what findings teach of a limit. A limit has two levels: what such
// parts have in common in this household, which findings teach, and what this one
// part has of its own, which ends with it. Each has half of the catalogue's
// variance, of the logarithm. Or else all parts of the household are alike and
// the whole of it is common: how likely that is, findings teach too.
//
// Both levels are standard normals; their sum over √2 is the standard normal of
// the catalogue's limit.
type limitLevels struct {
	prior  figure.Percentiles
	common [2][gridSize]float64 // by whether parts are alike: weights of the cells of the common level, summing to 1
	alike  float64              // how likely parts are alike
	own    []float64            // likelihood of what was found of the present part, over levelGrid; nil where nothing was
}

const (
	differ, same = 0, 1

	// likelyAlike is how likely the parts of a household are taken to be alike
	// before anything was found. Assumption.
	likelyAlike = 0.75

	// The grid of the standard normal on which likelihoods are worked out, and how
	// many equal shares the own level is cut into. Choices of numerical method.
	levelReach = 4.0
	levelStep  = 0.1
	levelNodes = 2*levelReach/levelStep + 1
	ownShares  = 24
)

// levelAt is a node of the grid.
func levelAt(node int) float64 { return levelStep*float64(node) - levelReach }

// onLevels interpolates what is worked out over the grid.
func onLevels(values []float64, z float64) float64 {
	at := min(max((z+levelReach)/levelStep, 0), float64(len(values)-1))
	i := min(int(at), len(values)-2)
	return values[i] + (at-float64(i))*(values[i+1]-values[i])
}

// limitAt is the limit at a standard normal.
func (l *limitLevels) limitAt(z float64) float64 {
	return l.prior.At(min(max(figure.NormalBelow(z), math.SmallestNonzeroFloat64), 1-1e-16))
}

// learnLimit learns from what was found, world by world, part by part: the
// product over the parts in a world, then the mean over the worlds, since use
// holds still from one service to the next.
func learnLimit(g Gauge, prior figure.Percentiles, worlds [][]observation, present int) *limitLevels {
	l := &limitLevels{prior: prior}
	limits := make([]float64, int(levelNodes))
	for i := range limits {
		limits[i] = l.limitAt(levelAt(i))
	}
	var sum [2][gridSize]float64
	for _, observed := range worlds {
		var product [2][gridSize]float64
		for i := range gridSize {
			product[differ][i], product[same][i] = 1, 1
		}
		for len(observed) > 0 {
			n := 1
			for n < len(observed) && observed[n].part == observed[0].part {
				n++
			}
			likelihood := make([]float64, len(limits))
			for i, limit := range limits {
				likelihood[i] = 1
				for _, o := range observed[:n] {
					likelihood[i] *= o.likelihood(g, limit)
				}
			}
			for i := range gridSize {
				common := figure.NormalQuantile(center(i))
				product[same][i] *= onLevels(likelihood, common)
				mean := 0.0
				for j := range ownShares {
					own := figure.NormalQuantile((float64(j) + 0.5) / ownShares)
					mean += onLevels(likelihood, (common+own)/math.Sqrt2)
				}
				product[differ][i] *= mean / ownShares
			}
			if observed[0].part == present {
				if l.own == nil {
					l.own = make([]float64, len(limits))
				}
				for i := range limits {
					l.own[i] += likelihood[i] / float64(len(worlds))
				}
			}
			observed = observed[n:]
		}
		for k := range sum {
			for i := range sum[k] {
				sum[k][i] += product[k][i]
			}
		}
	}
	evidence := [2]float64{1 - likelyAlike, likelyAlike}
	for k := range sum {
		total := 0.0
		for _, s := range sum[k] {
			total += s
		}
		for i, s := range sum[k] {
			l.common[k][i] = s / total
		}
		evidence[k] *= total
	}
	l.alike = evidence[same] / (evidence[same] + evidence[differ])
	return l
}

// draw draws the limit of the present part, one a world. Where nothing is learned
// it is what the prior draws with the first of the uniforms.
func (l *limitLevels) draw(d Draws, block, unknown string) []float64 {
	whole, between, alike := d.Uniforms(block, unknown), d.Uniforms(block, unknown+"/between"), d.Uniforms(block, unknown+"/alike")
	limits := make([]float64, len(whole))
	for w := range limits {
		z := figure.NormalQuantile(whole[w])
		if alike[w] < l.alike {
			z = quantileOn(&l.common[same], whole[w])
		} else {
			// Turned by an eighth, so that both levels are normals and z their sum.
			other := figure.NormalQuantile(between[w])
			common, own := (z+other)/math.Sqrt2, (z-other)/math.Sqrt2
			common = quantileOn(&l.common[differ], figure.NormalBelow(common))
			z = (common + l.ownLevel(common, own)) / math.Sqrt2
		}
		limits[w] = l.limitAt(z)
	}
	return limits
}

// ownLevel is the part's own level at the share that a standard normal stands
// for, given the common level and what was found of the part itself.
func (l *limitLevels) ownLevel(common, own float64) float64 {
	if l.own == nil {
		return own
	}
	var weights [gridSize]float64
	total := 0.0
	for i := range weights {
		weights[i] = onLevels(l.own, (common+figure.NormalQuantile(center(i)))/math.Sqrt2)
		total += weights[i]
	}
	for i := range weights {
		weights[i] /= total
	}
	return quantileOn(&weights, figure.NormalBelow(own))
}

// quantileOn is the standard normal at a share of a distribution whose cells are
// equal shares of the standard normal.
func quantileOn(weights *[gridSize]float64, share float64) float64 {
	u := min(max(shareOn(weights, share), 1e-9), 1-1e-9)
	return figure.NormalQuantile(u)
}
