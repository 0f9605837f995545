package wear

import (
	"hash/fnv"
	"math/bits"
)

// Draws gives the uniform numbers of a place's worlds. It holds no state: the
// same names give the same numbers, in whatever order they are asked for.
type Draws struct {
	Place  string
	Worlds int // how many worlds, 1 or more
}

// Uniforms gives one number in (0, 1) for each world, for one unknown of one
// block. The numbers are a Latin hypercube's: each of the equal slices of
// (0, 1) holds exactly one, so that quantiles settle with few worlds.
func (d Draws) Uniforms(block, unknown string) []float64 {
	key := seed(d.Place, block, unknown)
	// The rank of a world is that of its hash, whose last bits make room for the
	// world's number, so that plain numbers are sorted.
	room := uint64(1)<<bits.Len(uint(d.Worlds)) - 1
	hash := func(world uint64) uint64 { return mix(key + world*0x9e3779b97f4a7c15) }
	order := make([]uint64, d.Worlds)
	for w := range order {
		order[w] = hash(uint64(w))&^room | uint64(w)
	}
	uniforms := make([]float64, d.Worlds)
	for rank, o := range sortedHashes(order) {
		world := o & room
		inside := float64(mix(hash(world))>>11+1) / (1<<53 + 2)
		uniforms[world] = (float64(rank) + inside) / float64(d.Worlds)
	}
	return uniforms
}

// sortedHashes gives numbers that are spread evenly over all of 64 bits in rising
// order. Their first bits all but tell where each belongs: it takes a fraction of the
// time of sorting, and runs a few hundred times a forecast.
func sortedHashes(hashes []uint64) []uint64 {
	width := bits.Len(uint(len(hashes))) // of as many bins as there are hashes, or twice as many
	shift := 64 - width
	begins := make([]int32, 1<<width+1) // where each bin's begin
	for _, h := range hashes {
		begins[h>>shift+1]++
	}
	for i := range begins[1:] {
		begins[i+1] += begins[i]
	}
	sorted := make([]uint64, len(hashes))
	for _, h := range hashes {
		bin := h >> shift
		sorted[begins[bin]] = h
		begins[bin]++
	}
	for i := 1; i < len(sorted); i++ { // within their bins
		for k := i; k > 0 && sorted[k] < sorted[k-1]; k-- {
			sorted[k], sorted[k-1] = sorted[k-1], sorted[k]
		}
	}
	return sorted
}

// Uniform gives a single number in (0, 1) for the sample and dimension of an
// unknown, for draws that belong to no world.
func (d Draws) Uniform(block, unknown string, sample, dimension int) float64 {
	return d.Points(block, unknown)(sample, dimension)
}

// Points gives Uniform of one unknown where many are asked for.
func (d Draws) Points(block, unknown string) func(sample, dimension int) float64 {
	key := seed(d.Place, block, unknown)
	return func(sample, dimension int) float64 {
		hash := mix(mix(key+uint64(sample)*0x9e3779b97f4a7c15) + uint64(dimension)*0xd1342543de82ef95)
		return float64(hash>>11+1) / (1<<53 + 2)
	}
}

// seed turns names into a key; a zero byte keeps "ab", "c" from "a", "bc".
func seed(names ...string) uint64 {
	h := fnv.New64a()
	for _, n := range names {
		h.Write([]byte(n))
		h.Write([]byte{0})
	}
	return h.Sum64()
}

// mix is the output function of the SplitMix64 generator (Steele, Lea and Flood
// 2014, OOPSLA): it spreads neighbouring keys over all 64 bits.
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
