package watertest

// Uniform gives uniforms in (0, 1) that depend on nothing but seed and
// key: two rounds of the finaliser of MurmurHash3.
func Uniform(seed uint64) func(i, dim int) float64 {
	mix := func(x uint64) uint64 {
		x ^= x >> 33
		x *= 0xff51afd7ed558ccd
		x ^= x >> 33
		x *= 0xc4ceb9fe1a85ec53
		return x ^ x>>33
	}
	return func(i, dim int) float64 {
		x := mix(mix(seed+uint64(i)*0x9e3779b97f4a7c15) + uint64(dim))
		return (float64(x>>11) + 0.5) / (1 << 53)
	}
}
