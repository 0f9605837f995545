package boiler

import "limekeep/water"

// columnNumbers is how many numbers a column is made of, its feed aside.
const columnNumbers = 1 + columnOffsets*columnFactors*len(cell{})

// Numbers returns the numbers of the column, from which ColumnOf makes it again to the
// bit for the same feed.
func (c *Column) Numbers() []float64 {
	numbers := make([]float64, 0, columnNumbers)
	numbers = append(numbers, c.most)
	for o := range c.cell {
		for n := range c.cell[o] {
			numbers = append(numbers, c.cell[o][n][:]...)
		}
	}
	return numbers
}

// ColumnOf makes a column of its feed and the numbers that Numbers gave; false where they
// are not those of a column.
func ColumnOf(feed water.Totals, numbers []float64) (Column, bool) {
	c := Column{feed: feed}
	if len(numbers) != columnNumbers {
		return c, false
	}
	c.most, numbers = numbers[0], numbers[1:]
	for o := range c.cell {
		for n := range c.cell[o] {
			numbers = numbers[copy(c.cell[o][n][:], numbers):]
		}
	}
	return c, true
}
