package wear

import (
	"math"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// partGauge is the gauge of a part that wears by something counted: shots,
// kilograms, days, hours hot, litres. What is unknown is its limit.
type partGauge struct {
	prior  figure.Percentiles
	limits []float64 // one a world
	count  func(care.Exposure) float64
}

func (g *partGauge) Start(world int, s Service) State {
	return restart(s, 1, g.limits[world])
}

func (g *partGauge) Advance(s State, e care.Exposure) State {
	s.Amount += g.count(e)
	return s
}

func (g *partGauge) Reading(s State) float64 { return s.reading() }

func (g *partGauge) Amount(s State) float64 { return s.Amount }

func (g *partGauge) Unknown() figure.Percentiles { return g.prior }

func (g *partGauge) Assume(s State, value float64) State {
	s.Limit = value
	return s
}

// Where a part that is as good as new ends and one whose time has come begins,
// and where that one ends and one that failed begins, as readings; and how
// loosely people tell them apart. Assumptions.
const (
	freshBelow     = 0.5
	failedAbove    = 1.25
	partFuzz       = 0.35 // log standard deviation
	mistakenShare  = 0.05 // share of findings that say nothing
	leastForLogged = 1e-9 // keeps the logarithm of a new part's wear finite
)

func (g *partGauge) Likelihood(s State, found record.Service) float64 {
	switch found.Finding {
	case record.Fresh:
		return hedge(partShare(s.reading(), 0), 3)
	case record.Worn:
		return hedge(partShare(s.reading(), 1), 3)
	case record.Failed:
		return hedge(partShare(s.reading(), 2), 3)
	}
	return 1
}

// PartShares returns how likely a part that has used so much of its limit is to be
// found fresh, worn or failed, in the order of record.PartFindings, by those who
// tell the three apart as loosely as people do.
func PartShares(reading float64) (shares [3]float64) {
	wear := math.Log(max(reading, leastForLogged))
	sharesBetween(shares[:], partEdges[:], func(edge float64) float64 { return figure.NormalBelowNear((edge - wear) / partFuzz) })
	return shares
}

// partShare is one of PartShares by its place.
func partShare(reading float64, i int) float64 {
	wear := math.Log(max(reading, leastForLogged))
	return shareBetween(partEdges[:], i, func(edge float64) float64 { return figure.NormalBelowNear((edge - wear) / partFuzz) })
}

// partEdges are the logarithms of the readings at which one finding ends and the next
// begins.
var partEdges = [...]float64{math.Log(freshBelow), math.Log(failedAbove)}

// hedge allows for a finding that was a mistake: then each of the possible
// answers is as likely as another. Findings that contradict each other so
// leave the unknown wide instead of forcing it between them.
func hedge(likelihood, answers float64) float64 {
	return (1-mistakenShare)*likelihood + mistakenShare/answers
}
