package wear

import (
	"math"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/deposit"
	"limekeep/water/figure"
)

// scaleGauge is the gauge of scale in a vessel, as a thickness on its heated
// wall or as a mass. What is unknown is the deposit multiplier of the vessel:
// the share of what the water could lay down that ends as scale there. Whether
// sticking, rate or water makes the difference no finding can tell, so there is
// just this one. State.Amount is the grams that could have been laid down.
type scaleGauge struct {
	multipliers []float64 // one a world, as learned
	limits      []float64 // one a world, in perGram's unit
	perGram     []float64 // one a world: mm or g of the gauge for each gram deposited
	prior       figure.Percentiles
	eyeMM       float64   // mm on the wall for each gram, at the usual porosity: what the eye judges
	most        []float64 // one a world: grams that the vessel can hold; nil where that is not asked
	boreMM      float64   // of a gauge of flow lost: limits and perGram are mm in this bore
}

// plainMultiplier is the share of the potential that ends as scale, by vessel:
// 0.1, 0.3, 0.8 by common practice.
var plainMultiplier = figure.Percentiles{Low: 0.1, Likely: 0.3, High: 0.8}

// depositMultiplier is the same, widened by what the model itself does not know.
var depositMultiplier = plainMultiplier.Widened(ModelLogSD)

// mostMultiplier bounds it: no more can end as scale than could be laid down.
const mostMultiplier = 1

// potentialGrams gives the grams of scale that an exposure could lay down: never more
// than the lime that was fed.
func potentialGrams(e care.Exposure) float64 {
	return min(e.ScaleGrams, e.HardnessMeq*gramsOfLimePerMeq)
}

// gramsOfLimePerMeq is what a milliequivalent of hardness weighs as calcium
// carbonate.
const gramsOfLimePerMeq = water.MolarMassCalcite / 2000

// ModelLogSD is the error of the model beyond the spread of its inputs, as a log
// standard deviation: databases that disagree, water that changed unseen. It holds
// until a place's own score says otherwise. Assumption.
const ModelLogSD = 0.3

func (g *scaleGauge) Start(world int, s Service) State {
	state := restart(s, g.multipliers[world]*g.perGram[world], g.limits[world])
	state.World = world
	return state
}

// held is what the vessel holds of what was laid down, where perGram turns grams into
// the unit of the state's factor.
func (g *scaleGauge) held(s State, perGram float64) float64 {
	if g.most == nil {
		return s.Amount * s.Factor
	}
	return held(s.Amount*s.Factor/perGram, g.most[s.World]) * perGram
}

func (g *scaleGauge) Advance(s State, e care.Exposure) State {
	s.Amount += potentialGrams(e)
	return s
}

func (g *scaleGauge) Reading(s State) float64 { return g.units(s) / s.Limit }

// units is what the vessel holds, in the unit of the limit.
func (g *scaleGauge) units(s State) float64 {
	if g.most == nil {
		return s.Amount * s.Factor
	}
	return g.held(s, g.perGram[s.World])
}

// wanted is how much more could have to be laid down until the gauge of a state reads 1;
// infinite where the vessel holds no more before.
func (g *scaleGauge) wanted(s State) float64 {
	grams := s.Limit
	if g.most != nil {
		perGram := g.perGram[s.World]
		grams = free(s.Limit/perGram, g.most[s.World]) * perGram
	}
	return grams/s.Factor - s.Amount
}

func (g *scaleGauge) Amount(s State) float64 {
	amount := g.units(s)
	if g.boreMM > 0 {
		return 1 - deposit.OrificeFlowShare(g.boreMM, min(amount, g.boreMM/2))
	}
	return amount
}

func (g *scaleGauge) Unknown() figure.Percentiles { return g.prior }

// Assume sets the multiplier; the gauge's own unit no longer matters, since a
// finding is about what the eye and the scales see.
func (g *scaleGauge) Assume(s State, value float64) State {
	s.Factor = min(value, mostMultiplier)
	return s
}

// What the eye tells apart, as thickness of scale on the wall, and how loosely;
// and how well weighed or titrated grams tell the mass, as log standard deviations.
// Assumptions.
const (
	bareBelowMM     = 0.03
	filmBelowMM     = 0.2
	crustBelowMM    = 0.8
	ScaleEyeLogSD   = 0.5 // log standard deviation
	ScaleGramsLogSD = 0.4 // log standard deviation
)

// Likelihood takes a state made by Assume: its Factor is the multiplier alone.
func (g *scaleGauge) Likelihood(s State, found record.Service) float64 {
	grams := max(g.held(s, 1), leastForLogged)
	likelihood := 1.0
	if i := slices.Index(scaleFindings, string(found.Finding)); i >= 0 {
		likelihood *= hedge(scaleShare(grams*g.eyeMM, i), 4)
	}
	if found.Grams > 0 {
		z := math.Log(found.Grams/grams) / ScaleGramsLogSD
		likelihood *= (1-mistakenShare)*math.Exp(-z*z/2) + mistakenShare
	}
	return likelihood
}

// ScaleShares returns how likely a layer of so many mm is to be found bare, a film,
// a crust or flakes, in the order of record.ScaleFindings, by an eye that tells
// them apart as loosely as eyes do.
func ScaleShares(mm float64) (shares [4]float64) {
	thickness := scaleThickness(mm)
	sharesBetween(shares[:], scaleEdges[:], func(edge float64) float64 { return scaleBelow(edge, thickness) })
	return shares
}

// scaleShare is one of ScaleShares by its place.
func scaleShare(mm float64, i int) float64 {
	thickness := scaleThickness(mm)
	return shareBetween(scaleEdges[:], i, func(edge float64) float64 { return scaleBelow(edge, thickness) })
}

// scaleThickness is the logarithm of a thickness, as an eye judges it.
func scaleThickness(mm float64) float64 { return math.Log(max(mm, leastForLogged)) }

// scaleBelow is how likely a thickness is taken to lie below an edge.
func scaleBelow(edge, thickness float64) float64 {
	return figure.NormalBelowNear((edge - thickness) / ScaleEyeLogSD)
}

// scaleFindings and partFindings are what can be found, in the order of the shares.
var scaleFindings, partFindings = record.ScaleFindings(), record.PartFindings()

// scaleEdges are the logarithms of the thicknesses at which one finding ends and the next
// begins.
var scaleEdges = [...]float64{math.Log(bareBelowMM), math.Log(filmBelowMM), math.Log(crustBelowMM)}

// shareBetween is how much lies between the edge before place i and the one at it, by how
// much lies below an edge; the first and the last are open.
func shareBetween(edges []float64, i int, below func(edge float64) float64) float64 {
	switch {
	case i == 0:
		return below(edges[0])
	case i == len(edges):
		return 1 - below(edges[i-1])
	}
	return below(edges[i]) - below(edges[i-1])
}

// sharesBetween fills in shareBetween of every place.
func sharesBetween(shares, edges []float64, below func(edge float64) float64) {
	before := 0.0
	for i, edge := range edges {
		upTo := below(edge)
		shares[i] = upTo - before
		before = upTo
	}
	shares[len(edges)] = 1 - before
}

// PlainMultiplier returns the share of the potential that ends as scale in a vessel,
// as it is met from vessel to vessel, before the model's own error.
func PlainMultiplier() figure.Percentiles { return plainMultiplier }
