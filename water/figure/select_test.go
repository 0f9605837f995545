package figure_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"limekeep/water/figure"
)

// Each rank holds what sorting puts there: of values that repeat, are sorted already
// or the other way round, and with what is no number among them.
func TestSelectHoldsWhatSortingDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		some := rapid.OneOf(rapid.Float64Range(-1, 1), rapid.Map(rapid.IntRange(0, 5), func(i int) float64 { return float64(i) }))
		if rapid.IntRange(0, 9).Draw(t, "not a number") == 0 {
			some = rapid.OneOf(some, rapid.Just(math.NaN()), rapid.Just(math.Inf(1)))
		}
		values := rapid.SliceOfN(some, 1, 400).Draw(t, "values")
		switch rapid.IntRange(0, 3).Draw(t, "order") {
		case 0:
			slices.Sort(values)
		case 1:
			slices.Sort(values)
			slices.Reverse(values)
		}
		ranks := rapid.SliceOfN(rapid.IntRange(0, len(values)-1), 0, 25).Draw(t, "ranks")
		slices.Sort(ranks)
		sorted := slices.Sorted(slices.Values(values))
		figure.Select(values, ranks...)
		for _, r := range ranks {
			if values[r] != sorted[r] && (values[r] == values[r] || sorted[r] == sorted[r]) {
				t.Fatalf("rank %d holds %v, sorted %v", r, values[r], sorted[r])
			}
		}
		if after := slices.Sorted(slices.Values(values)); slices.CompareFunc(after, sorted, func(a, b float64) int {
			if a == b || a != a && b != b {
				return 0
			}
			return 1
		}) != 0 {
			t.Fatalf("%v became %v", sorted, after)
		}
	})
}

func BenchmarkPercentiles(b *testing.B) {
	values := make([]float64, 1000)
	for i := range values {
		values[i] = math.Mod(float64(i)*math.Phi, 1)
	}
	buffer := make([]float64, len(values))
	b.Run("selected", func(b *testing.B) {
		for b.Loop() {
			copy(buffer, values)
			figure.OverInPlace(buffer)
		}
	})
	b.Run("sorted", func(b *testing.B) {
		for b.Loop() {
			copy(buffer, values)
			slices.Sort(buffer)
		}
	})
}
