package potential

import (
	"testing"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// A table made of its numbers is the same table, and of any others none is made.
func TestNumbersOfTable(t *testing.T) {
	table, err := NewClosed(equilibrium.NewSolver(), water.Totals{Calcium: 2e-3, Magnesium: 5e-4, Sodium: 4e-4, Alkalinity: 4e-3, Carbon: 4.3e-3, Chloride: 9e-4, Sulfate: 3e-4})
	if err != nil {
		t.Fatal(err)
	}
	numbers := table.AppendNumbers(nil)
	again, ok := ClosedTableOf(numbers)
	if !ok || again != table {
		t.Errorf("made again it is %v, want %v", again, table)
	}
	if _, ok := ClosedTableOf(numbers[1:]); ok {
		t.Error("a table is made of too few numbers")
	}
	for i, was := range numbers {
		numbers[i]++
		if other, _ := ClosedTableOf(numbers); other == table {
			t.Errorf("number %d says nothing", i)
		}
		numbers[i] = was
	}
}
