package wear

// plainDays is the running total of days alone: tools age, and nothing flows
// through them. It is the same in every world.
func plainDays(g grid) sums {
	total := make(sums, len(g.knots))
	for i := range g.steps() {
		total.add(i, Day{Days: float64(g.knots[i+1] - g.knots[i])})
	}
	return total
}
