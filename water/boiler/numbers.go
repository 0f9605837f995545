package boiler

import "limekeep/water"

// ColumnNumbers is how many numbers a column is made of, its feed aside.
const ColumnNumbers = 1 + columnOffsets*columnFactors*len(cell{})

// AppendNumbers appends the numbers of the column, from which ColumnOf makes it again to
// the bit for the same feed.
func (c *Column) AppendNumbers(numbers []float64) []float64 {
	numbers = append(numbers, c.most)
	for o := range c.cell {
		for n := range c.cell[o] {
			numbers = append(numbers, c.cell[o][n][:]...)
		}
	}
	return numbers
}

// ColumnOf makes a column of its feed and the numbers that AppendNumbers gave; false where they
// are not those of a column.
func ColumnOf(feed water.Totals, numbers []float64) (Column, bool) {
	c := Column{feed: feed}
	if len(numbers) != ColumnNumbers {
		return c, false
	}
	c.most, numbers = numbers[0], numbers[1:]
	for o := range c.cell {
		for n := range c.cell[o] {
			numbers = numbers[copy(c.cell[o][n][:], numbers):]
		}
	}
	c.noteSolids()
	return c, true
}
