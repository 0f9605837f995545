package boiler

import "limekeep/water"

// Forming is the part of a Column that says what forms, and which salts are left: all that
// many days are asked about. It is kept by the thousand, so its numbers have seven digits,
// which is far more than columns are good for.
type Forming struct {
	feed   water.Totals
	most   float64                                             // concentration beyond which the feed leaves the model's reach
	solids [columnOffsets][columnFactors][columnSolids]float32 // as a cell has them

	forms [columnSolids]bool // which form at any of its points
}

// noteSolids notes which solids form at all, so that the others are looked up nowhere.
func (c *Forming) noteSolids() {
	c.forms = [columnSolids]bool{}
	for o := range c.solids {
		for n := range c.solids[o] {
			for k := range c.forms {
				c.forms[k] = c.forms[k] || !(c.solids[o][n][k] <= 0)
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

// look interpolates the solids: straight over 1/n and over the offset. Those that would
// dissolve are none.
func (c *Forming) look(n float64, offset Offset) (solids [columnSolids]float64) {
	i, x := place(n)
	less, more := &c.solids[0], &c.solids[1]
	for k := range solids {
		a := between(less[i][k], less[i+1][k], x)
		b := between(more[i][k], more[i+1][k], x)
		solids[k] = max(0, between(a, b, offset.place))
	}
	return solids
}

// between lies a share of the way from one number to another.
func between[T float32 | float64](a, b T, share float64) float64 {
	return float64(a) + share*(float64(b)-float64(a))
}

// within keeps a concentration inside the column's reach.
func (c *Forming) within(n float64) float64 { return min(max(n, columnKnots[0]), c.most) }

// Salts gives the boiler's water at n fold concentration, mol/kg, its carbon aside; beyond
// the reach the nearest edge is taken.
func (c *Forming) Salts(n float64, offset Offset) water.Totals {
	n = c.within(n)
	solids := c.look(n, offset)
	return c.salts(n, &solids)
}

// salts states what is left of the feed where solids form.
func (c *Forming) salts(n float64, solids *[columnSolids]float64) water.Totals {
	w := c.feed.Times(n)
	w.Calcium = max(0, w.Calcium-n*(solids[0]+solids[1])/1000)
	w.Sulfate = max(0, w.Sulfate-n*solids[1]/1000)
	w.Magnesium = max(0, w.Magnesium-n*solids[2]/1000)
	w.Alkalinity -= 2 * n * (solids[0] + solids[2]) / 1000
	w.Carbon = 0
	return w
}

// ScaleMgPerKg gives the mass of all solids that form per kg fed, as At does, without
// the rest.
func (c *Forming) ScaleMgPerKg(n float64, offset Offset) float64 {
	return c.ScaleMgPerKgAt(NewConcentration(n), offset)
}

// ScaleMgPerKgAt is ScaleMgPerKg where several columns are asked at one concentration.
func (c *Forming) ScaleMgPerKgAt(at Concentration, offset Offset) float64 {
	if at.times > c.most {
		at = concentrationAt(c.most)
	}
	i, x := at.knot, at.share
	less, lessNext, more, moreNext := &c.solids[0][i], &c.solids[0][i+1], &c.solids[1][i], &c.solids[1][i+1]
	sum := 0.0
	for k, molarMass := range [columnSolids]float64{water.MolarMassCalcite, water.MolarMassAnhydrite, water.MolarMassBrucite} {
		if !c.forms[k] || less[k] <= 0 && lessNext[k] <= 0 && more[k] <= 0 && moreNext[k] <= 0 {
			continue // between four that would dissolve nothing forms
		}
		a := between(less[k], lessNext[k], x)
		b := between(more[k], moreNext[k], x)
		sum += max(0, between(a, b, offset.place)) * molarMass
	}
	return sum
}
