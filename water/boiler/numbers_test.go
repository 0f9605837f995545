package boiler

import (
	"testing"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// A column made of its numbers is the same column, and of any others none is made.
func TestNumbersOfColumn(t *testing.T) {
	feed := water.Totals{Calcium: 2e-3, Magnesium: 5e-4, Sodium: 4e-4, Alkalinity: 4e-3, Carbon: 4.3e-3, Chloride: 9e-4, Sulfate: 3e-4}
	column, err := NewColumn(equilibrium.NewSolver(), feed, 121, 0.5, true)
	if err != nil {
		t.Fatal(err)
	}
	numbers := column.AppendNumbers(nil)
	again, ok := FormingOf(feed, numbers)
	if !ok || again != column.Forming {
		t.Errorf("made again it is %v, want %v", again, column.Forming)
	}
	if _, ok := FormingOf(feed, numbers[1:]); ok {
		t.Error("a column is made of too few numbers")
	}
	for i, was := range numbers {
		numbers[i]++
		if other, _ := FormingOf(feed, numbers); other == column.Forming {
			t.Errorf("number %d says nothing", i)
		}
		numbers[i] = was
	}
}
