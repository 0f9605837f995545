package boiler

import "limekeep/water"

// FormingNumbers is how many numbers a Forming is made of, its feed aside.
const FormingNumbers = columnOffsets * columnFactors * columnSolids

// AppendNumbers appends the numbers from which FormingOf makes it again to the bit for the
// same feed.
func (c *Forming) AppendNumbers(numbers []float32) []float32 {
	for o := range c.solids {
		for n := range c.solids[o] {
			numbers = append(numbers, c.solids[o][n][:]...)
		}
	}
	return numbers
}

// FormingOf makes what forms of a feed of the numbers that AppendNumbers gave; false where
// they are not those of one.
func FormingOf(feed water.Totals, numbers []float32) (Forming, bool) {
	c := Forming{feed: feed, most: reach(&feed)}
	if len(numbers) != FormingNumbers {
		return c, false
	}
	for o := range c.solids {
		for n := range c.solids[o] {
			numbers = numbers[copy(c.solids[o][n][:], numbers):]
		}
	}
	c.noteSolids()
	return c, true
}
