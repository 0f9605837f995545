package boiler

import (
	"math"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// Column holds what one water does in a steam boiler at one temperature, of
// which one share leaves as steam, over how far it is concentrated and over the
// uncertainty of the thermodynamics, so that years of days can be looked up
// instead of solved.
//
// Whatever a boiler went through, its concentration says what its water would
// hold had nothing formed, and so how much must have formed for it to be at
// rest.
type Column struct {
	Forming
	rest [columnOffsets][columnFactors][columnRest]float32
}

const (
	columnOffsets = 2
	columnFactors = 9
	columnSolids  = 3 // calcite, anhydrite and brucite come first in a cell
	columnRest    = 2 // then pH and carbon

	// columnOffset is the offset of calcite's saturation index at the knots,
	// either way.
	columnOffset = 0.2

	// MostConcentration is the reach of a Column in concentration, less where
	// the water becomes too salty for the model before.
	MostConcentration = 40.0
)

// columnKnots are the concentrations worked out: the solids per kg fed run nearly
// straight over 1/n, since what stays dissolved hardly changes. A choice of
// numerical method.
var columnKnots = [columnFactors]float64{0.5, 1, 1.6, 2.5, 3.5, 5, 9, 18, MostConcentration}

// NewColumn works out the column of a feed at celsius, 100 to 140, of
// which a share, 0 to 1, leaves as steam, brucite forming or not. The error is
// the solver's.
func NewColumn(s *equilibrium.Solver, feed water.Totals, celsius, steamShare float64, brucite bool) (Column, error) {
	c := Column{Forming: Forming{feed: feed, most: reach(&feed)}}
	if err := water.CheckRange("share of the feed that leaves as steam", steamShare, 0, 1); err != nil {
		return c, err
	}
	var ended [columnOffsets][columnFactors]equilibrium.Start
	for o := range columnOffsets {
		offset := columnOffset * float64(2*o-1)
		for n, factor := range columnKnots {
			if n > 0 && columnKnots[n-1] >= c.most { // the reach ends before, so it is the same point
				c.solids[o][n], c.rest[o][n], ended[o][n] = c.solids[o][n-1], c.rest[o][n-1], ended[o][n-1]
				continue
			}
			var at cell
			if err := at.fill(s, startOf(&ended, o, n), feed, celsius, min(factor, c.most), steamShare, offset, brucite); err != nil {
				return c, err
			}
			c.take(o, n, &at)
			ended[o][n] = s.Ended()
		}
	}
	c.noteSolids()
	return c, nil
}

// reach is how far a column of a feed reaches in concentration.
func reach(feed *water.Totals) float64 {
	return min(MostConcentration, mostConcentration(feed))
}

// startOf returns where the search of a point may begin, by where those before it ended:
// of the same concentration with the offset before, moved on as the offset moved the
// concentration before, or else of the concentrations before it.
func startOf(ended *[columnOffsets][columnFactors]equilibrium.Start, o, n int) equilibrium.Start {
	switch {
	case o > 0 && n > 0:
		return ended[o-1][n].Along(ended[o-1][n-1], ended[o][n-1], 1)
	case o > 0:
		return ended[o-1][n]
	case n > 1:
		return ended[o][n-1].Along(ended[o][n-2], ended[o][n-1], math.Log(columnKnots[n]/columnKnots[n-1])/math.Log(columnKnots[n-1]/columnKnots[n-2]))
	case n > 0:
		return ended[o][n-1]
	}
	return equilibrium.Likely(equilibrium.Solids{Calcite: true})
}

// take notes what was worked out for a point.
func (c *Column) take(o, n int, at *cell) {
	for k, x := range at {
		if k < columnSolids {
			c.solids[o][n][k] = float32(x)
		} else {
			c.rest[o][n][k-columnSolids] = float32(x)
		}
	}
}

// At gives the boiler's water and what formed per kg fed at n fold
// concentration; beyond the reach the nearest edge is taken.
func (c *Column) At(n float64, offset Offset) SteadyPoint {
	n = c.within(n)
	i, x := place(n)
	var rest [columnRest]float64
	for k := range rest {
		rest[k] = between(between(c.rest[0][i][k], c.rest[0][i+1][k], x), between(c.rest[1][i][k], c.rest[1][i+1][k], x), offset.place)
	}
	solids := c.look(n, offset)
	p := SteadyPoint{CalciteMmolPerKg: solids[0], AnhydriteMmolPerKg: solids[1], BruciteMmolPerKg: solids[2], PH: rest[0], Water: c.salts(n, &solids)}
	p.Water.Carbon = n * rest[1] / 1000
	return p
}
