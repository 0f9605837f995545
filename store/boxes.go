package store

import "math"

// boxes gives values in the form that a statement takes them, without a new
// copy of each: the figures of a log repeat themselves, and a million rows of
// ten figures each would keep the garbage collector busier than the database.
type boxes struct {
	floats [boxCount]box[float64]
	ints   [boxCount]box[int64]
}

type box[T float64 | int64] struct {
	value T
	boxed any // nil where nothing is held yet
}

// boxCount is a power of two, so that a slot is found by its low bits.
const boxCount = 2048

// slot spreads bits over the boxes (Fibonacci hashing: Knuth, The Art of Computer
// Programming, volume 3, section 6.4).
func slot(bits uint64) uint64 { return bits * 0x9e3779b97f4a7c15 >> (64 - 11) }

// float boxes a number.
func (b *boxes) float(x float64) any {
	held := &b.floats[slot(math.Float64bits(x))]
	if held.boxed == nil || math.Float64bits(held.value) != math.Float64bits(x) {
		held.value, held.boxed = x, x
	}
	return held.boxed
}

// int boxes a whole number.
func (b *boxes) int(n int64) any {
	held := &b.ints[slot(uint64(n))]
	if held.boxed == nil || held.value != n {
		held.value, held.boxed = n, n
	}
	return held.boxed
}
