package store

import "math"

// argumentCache returns values in the form that a statement takes them, without a
// new copy of each: the figures of a log repeat themselves, and a million rows of
// ten figures each would keep the garbage collector busier than the database.
type argumentCache struct {
	floats [argumentSlots]argument[float64]
	ints   [argumentSlots]argument[int64]
}

type argument[T float64 | int64] struct {
	value T
	asAny any // nil where nothing is held yet
}

// argumentSlots is a power of two, so that a slot is found by its low bits.
const argumentSlots = 2048

// slot spreads bits over the slots (Fibonacci hashing: Knuth, The Art of Computer
// Programming, volume 3, section 6.4).
func slot(bits uint64) uint64 { return bits * 0x9e3779b97f4a7c15 >> (64 - 11) }

// float returns a number as an argument.
func (c *argumentCache) float(x float64) any {
	held := &c.floats[slot(math.Float64bits(x))]
	if held.asAny == nil || math.Float64bits(held.value) != math.Float64bits(x) {
		held.value, held.asAny = x, x
	}
	return held.asAny
}

// int returns a whole number as an argument.
func (c *argumentCache) int(n int64) any {
	held := &c.ints[slot(uint64(n))]
	if held.asAny == nil || held.value != n {
		held.value, held.asAny = n, n
	}
	return held.asAny
}
