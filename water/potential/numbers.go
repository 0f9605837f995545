package potential

// Numbers returns the numbers of the table, from which ClosedTableOf makes it again to
// the bit.
func (p *ClosedTable) Numbers() []float64 {
	numbers := make([]float64, 0, closedT*closedC*closedO)
	for i := range p.closed {
		for j := range p.closed[i] {
			numbers = append(numbers, p.closed[i][j][:]...)
		}
	}
	return numbers
}

// ClosedTableOf makes a table of the numbers that Numbers gave; false where they are not
// those of a table.
func ClosedTableOf(numbers []float64) (ClosedTable, bool) {
	var p ClosedTable
	if len(numbers) != closedT*closedC*closedO {
		return p, false
	}
	for i := range p.closed {
		for j := range p.closed[i] {
			numbers = numbers[copy(p.closed[i][j][:], numbers):]
		}
	}
	return p, true
}
