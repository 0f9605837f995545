package wear

import "limekeep/schedule/care"

// cumulative is what a part has been exposed to since the forecast's first day, a row
// for each amount: cumulative[a][k] is all of it up to knot k. Amounts that never move
// the part share one row of zeros.
type cumulative [care.Amounts][]float64

// newCumulative makes rows of their own for the amounts that move a part; its days are
// those of the grid.
func (r *run) newCumulative(moved ...care.Amount) *cumulative {
	var c cumulative
	for a := range c {
		c[a] = r.grid.zeros
	}
	c[care.OfDays] = r.grid.since
	for _, a := range moved {
		c[a] = make([]float64, len(r.grid.knots))
	}
	return &c
}

// from returns all from one knot to a later one.
func (c *cumulative) from(knot, to int) care.Exposure {
	of := func(a care.Amount) float64 { return c[a][to] - c[a][knot] }
	return care.Exposure{
		Days: of(care.OfDays), Shots: of(care.OfShots), Kilograms: of(care.OfKilograms), HotHours: of(care.OfHotHours),
		Litres: of(care.OfLitres), DrawnLitres: of(care.OfDrawnLitres),
		HardnessMeq: of(care.OfHardness), CarbonMeq: of(care.OfCarbon), ScaleGrams: of(care.OfScale),
	}
}

// step returns what one step brought.
func (c *cumulative) step(i int) care.Exposure { return c.from(i, i+1) }

// last is the last knot.
func (c *cumulative) last() int { return len(c[care.OfDays]) - 1 }

// sumUp turns what steps brought into the running total at their knots.
func sumUp(total, steps []float64) {
	sum := total[0]
	total = total[1:]
	for i, x := range steps {
		sum += x
		total[i] = sum
	}
}
