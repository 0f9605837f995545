package boiler

import (
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
	feed water.Totals
	most float64 // concentration beyond which the feed leaves the model's reach
	cell [columnOffsets][columnFactors]cell
}

const (
	columnOffsets = 2
	columnFactors = 9

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
	c := Column{feed: feed, most: min(MostConcentration, mostConcentration(&feed))}
	if err := water.CheckRange("share of the feed that leaves as steam", steamShare, 0, 1); err != nil {
		return c, err
	}
	for o := range c.cell {
		offset := columnOffset * float64(2*o-1)
		for n, factor := range columnKnots {
			if err := c.cell[o][n].fill(s, feed, celsius, min(factor, c.most), steamShare, offset, brucite); err != nil {
				return c, err
			}
		}
	}
	return c, nil
}

// look interpolates: straight over 1/n and over the offset. Solids that would
// dissolve are none.
func (c *Column) look(n, siOffset float64) cell {
	i := 0
	for i < columnFactors-2 && n > columnKnots[i+1] {
		i++
	}
	low, high := columnKnots[i], columnKnots[i+1]
	x := (1/low - 1/n) / (1/low - 1/high)
	z := min(max((siOffset/columnOffset+1)/2, 0), 1)
	less, more := &c.cell[0], &c.cell[1]
	var sum cell
	for k := range sum {
		a := less[i][k] + x*(less[i+1][k]-less[i][k])
		b := more[i][k] + x*(more[i+1][k]-more[i][k])
		sum[k] = a + z*(b-a)
		if k < 3 {
			sum[k] = max(0, sum[k])
		}
	}
	return sum
}

// within keeps a concentration inside the column's reach.
func (c *Column) within(n float64) float64 { return min(max(n, columnKnots[0]), c.most) }

// At gives the boiler's water and what formed per kg fed at n fold
// concentration; beyond the reach the nearest edge is taken. siOffset is added
// to calcite's saturation index.
func (c *Column) At(n, siOffset float64) SteadyPoint {
	n = c.within(n)
	return pointOf(c.feed, n, c.look(n, siOffset))
}

// ScaleMgPerKg gives the mass of all solids that form per kg fed.
func (c *Column) ScaleMgPerKg(n, siOffset float64) float64 {
	l := c.look(c.within(n), siOffset)
	return l[0]*water.MolarMassCalcite + l[1]*water.MolarMassAnhydrite + l[2]*water.MolarMassBrucite
}
