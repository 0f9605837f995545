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

	forms [columnSolids]bool // which solids form at any of its points
}

const (
	columnOffsets = 2
	columnFactors = 9
	columnSolids  = 3 // calcite, anhydrite and brucite come first in a cell

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
		likely := equilibrium.Solids{Calcite: true}
		for n, factor := range columnKnots {
			if o > 0 {
				likely = c.cell[o-1][n].solids()
			}
			at := &c.cell[o][n]
			if err := at.fill(s, likely, feed, celsius, min(factor, c.most), steamShare, offset, brucite); err != nil {
				return c, err
			}
			likely = at.solids()
		}
	}
	c.noteSolids()
	return c, nil
}

// noteSolids notes which solids form at all, so that the others are looked up nowhere.
func (c *Column) noteSolids() {
	c.forms = [columnSolids]bool{}
	for o := range c.cell {
		for n := range c.cell[o] {
			for k := range c.forms {
				c.forms[k] = c.forms[k] || !(c.cell[o][n][k] <= 0)
			}
		}
	}
}

// Offset is how far off the saturation index of calcite is taken to be, as columns look
// it up; NewOffset makes one.
type Offset struct {
	place float64 // 0 for the least that they were worked out for, 1 for the most
}

// NewOffset is an offset that is added to the saturation index; beyond
// the reach the nearest edge is taken.
func NewOffset(siOffset float64) Offset {
	return Offset{min(max((siOffset/columnOffset+1)/2, 0), 1)}
}

// overKnots holds 1/n of each knot, and how far it is from there to the next one's.
var overKnots, overSteps = func() (over, steps [columnFactors]float64) {
	for i, n := range columnKnots {
		over[i] = 1 / n
		if i > 0 {
			steps[i-1] = over[i-1] - over[i]
		}
	}
	return over, steps
}()

// place finds a concentration among the knots: behind which, and how far to the next,
// straight over 1/n.
func place(n float64) (knot int, share float64) {
	for knot < columnFactors-2 && n > columnKnots[knot+1] {
		knot++
	}
	return knot, (overKnots[knot] - 1/n) / overSteps[knot]
}

// Concentration is how far a water is concentrated, as columns look it up: the same place
// in all of them. NewConcentration makes one.
type Concentration struct {
	times float64
	knot  int
	share float64 // of the way to the next knot, over 1/n
}

// NewConcentration is an n fold concentration; beyond the reach of any column the nearest
// edge is taken.
func NewConcentration(n float64) Concentration {
	return concentrationAt(min(max(n, columnKnots[0]), MostConcentration))
}

func concentrationAt(n float64) Concentration {
	knot, share := place(n)
	return Concentration{n, knot, share}
}

// look interpolates: straight over 1/n and over the offset. Solids that would
// dissolve are none.
func (c *Column) look(n float64, offset Offset) cell {
	i, x := place(n)
	less, more := &c.cell[0], &c.cell[1]
	var sum cell
	for k := range sum {
		a := less[i][k] + x*(less[i+1][k]-less[i][k])
		b := more[i][k] + x*(more[i+1][k]-more[i][k])
		sum[k] = a + offset.place*(b-a)
		if k < columnSolids {
			sum[k] = max(0, sum[k])
		}
	}
	return sum
}

// within keeps a concentration inside the column's reach.
func (c *Column) within(n float64) float64 { return min(max(n, columnKnots[0]), c.most) }

// At gives the boiler's water and what formed per kg fed at n fold
// concentration; beyond the reach the nearest edge is taken.
func (c *Column) At(n float64, offset Offset) SteadyPoint {
	n = c.within(n)
	return pointOf(c.feed, n, c.look(n, offset))
}

// ScaleMgPerKg gives the mass of all solids that form per kg fed, as At does, without
// the rest.
func (c *Column) ScaleMgPerKg(n float64, offset Offset) float64 {
	return c.ScaleMgPerKgAt(NewConcentration(n), offset)
}

// ScaleMgPerKgAt is ScaleMgPerKg where several columns are asked at one concentration.
func (c *Column) ScaleMgPerKgAt(at Concentration, offset Offset) float64 {
	if at.times > c.most {
		at = concentrationAt(c.most)
	}
	i, x := at.knot, at.share
	less, lessNext, more, moreNext := &c.cell[0][i], &c.cell[0][i+1], &c.cell[1][i], &c.cell[1][i+1]
	sum := 0.0
	for k, molarMass := range [columnSolids]float64{water.MolarMassCalcite, water.MolarMassAnhydrite, water.MolarMassBrucite} {
		if !c.forms[k] || less[k] <= 0 && lessNext[k] <= 0 && more[k] <= 0 && moreNext[k] <= 0 {
			continue // between four that would dissolve nothing forms
		}
		a := less[k] + x*(lessNext[k]-less[k])
		b := more[k] + x*(moreNext[k]-more[k])
		sum += max(0, a+offset.place*(b-a)) * molarMass
	}
	return sum
}
