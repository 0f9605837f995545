package figure

import (
	"cmp"
	"math/bits"
	"slices"
)

// Select orders values so far that each rank holds what it would hold if all were
// sorted: which takes a fraction of the time of sorting them. The ranks stand in
// rising order and lie in [0, len(values)).
func Select[T cmp.Ordered](values []T, ranks ...int) {
	even := true // all of them equal
	for _, v := range values {
		if v != v { // NaN, which sorting puts first
			slices.Sort(values)
			return
		}
		even = even && v == values[0]
	}
	if !even {
		selectIn(values, ranks, 0, 2*bits.Len(uint(len(values))))
	}
}

// fewToSelect is how many values are rather sorted.
const fewToSelect = 24

// selectIn parts values at one of them, as Hoare's quickselect does, until each rank,
// counted from a first one on, lies in a short piece. What is not short after so many
// partings is sorted.
func selectIn[T cmp.Ordered](values []T, ranks []int, first, partings int) {
	for len(ranks) > 0 {
		if len(values) <= fewToSelect || partings == 0 {
			slices.Sort(values)
			return
		}
		partings--
		split := partAt(values, middleOf(values))
		n := 0
		for n < len(ranks) && ranks[n]-first < split {
			n++
		}
		selectIn(values[:split], ranks[:n], first, partings)
		values, ranks, first = values[split:], ranks[n:], first+split
	}
}

// middleOf is the middle one of three of the values.
func middleOf[T cmp.Ordered](values []T) T {
	a, b, c := values[0], values[len(values)/2], values[len(values)-1]
	if b < a {
		a, b = b, a
	}
	return max(a, min(b, c))
}

// partAt moves what is less than a pivot, one of the values and not the greatest
// alone, before what is greater, and returns where the second part begins.
func partAt[T cmp.Ordered](values []T, pivot T) int {
	i, j := 0, len(values)-1
	for {
		for values[i] < pivot {
			i++
		}
		for pivot < values[j] {
			j--
		}
		if i >= j {
			return max(1, i)
		}
		values[i], values[j] = values[j], values[i]
		i++
		j--
	}
}
