package potential

// ClosedNumbers is how many numbers a closed table is made of.
const ClosedNumbers = closedT * closedC * closedO

// AppendNumbers appends the numbers of the table, from which ClosedTableOf makes it again
// to the bit.
func (p *ClosedTable) AppendNumbers(numbers []float32) []float32 {
	for i := range p.closed {
		for j := range p.closed[i] {
			numbers = append(numbers, p.closed[i][j][:]...)
		}
	}
	return numbers
}

// ClosedTableOf makes a table of the numbers that AppendNumbers gave; false where they are not
// those of a table.
func ClosedTableOf(numbers []float32) (ClosedTable, bool) {
	var p ClosedTable
	if len(numbers) != ClosedNumbers {
		return p, false
	}
	for i := range p.closed {
		for j := range p.closed[i] {
			numbers = numbers[copy(p.closed[i][j][:], numbers):]
		}
	}
	return p, true
}
