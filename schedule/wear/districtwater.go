package wear

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// districtLogSD is how far the water of one place lies from that of its district, as a
// log standard deviation: the mains mix their sources, and lose and gain on their way to
// each house. Assumption: as much as a supply drifts in a year.
const districtLogSD = 0.10

// leastLevel keeps the logarithm of a hardness from that of nothing, meq/L.
const leastLevel = 1e-3

// ofTest returns the draws of a test: those of its district are the same for every
// place on it, since they share its water.
func (d Draws) ofTest(block string, t record.WaterTest) (draws Draws, of string) {
	if t.District == "" {
		return d, block
	}
	return Draws{Place: "district/" + t.District, Worlds: d.Worlds}, "water"
}

// level is how hard the water of a test is in each world, as a logarithm, and how well
// that is known.
type level struct {
	logs     []float64
	variance float64
}

func (lw *LineWater) level(test int) level {
	l := level{logs: make([]float64, len(lw.picks[test]))}
	var sum, squares float64
	for w, pick := range lw.picks[test] {
		x := math.Log(max(leastLevel, lw.Tests[test].Supply[pick].hardness))
		l.logs[w] = x
		sum += x
		squares += x * x
	}
	n := float64(len(l.logs))
	l.variance = max(1e-6, squares/n-(sum/n)*(sum/n))
	return l
}

// driftVariance is by how much a water drifts between two days.
func driftVariance(a, b record.Date) float64 {
	return driftPerRootYear * driftPerRootYear * math.Abs(float64(a-b)) / 365.25
}

// nearest returns which of some tests is the nearest to a day.
func (lw *LineWater) nearest(of []int, on record.Date) int {
	best := of[0]
	for _, k := range of {
		if days := lw.Tests[k].On - on; max(days, -days) < max(lw.Tests[best].On-on, on-lw.Tests[best].On) {
			best = k
		}
	}
	return best
}

// setApart says by what factor the water of the place differs from that of each test of
// its supply. A test of the district says what all places on it have in common; what the
// place has of its own is drawn, and narrowed by each test of its own, as normal
// distributions of logarithms are combined: each by how well it is known. So a test of the
// place's own outweighs that of the district, the more the better it was made and the
// fresher it is, and once the district is tested again it still says by how much the
// place differs. An own test that says less than the district does is taken for the
// smaller part, and leaves what it did not measure to the other.
func (lw *LineWater) setApart(d Draws, block string, tests []record.Dated[record.WaterTest]) {
	var own, shared []int // tests of the supply
	for i, t := range tests {
		switch {
		case t.Body.District != "":
			shared = append(shared, i)
		case t.Body.After == "":
			own = append(own, i)
		}
	}
	if len(shared) == 0 || !lw.Known {
		return
	}
	lw.apart = make([][]float64, len(tests))
	levels := make([]level, len(tests))
	for _, i := range append(own[:len(own):len(own)], shared...) {
		levels[i] = lw.level(i)
	}
	drawn := d.Uniforms(block, "apart from its district")
	for w, u := range drawn {
		drawn[w] = districtLogSD * figure.NormalQuantile(u)
	}
	// What the place differs by, with how well that is known.
	apart, precision := append([]float64(nil), drawn...), 1/(districtLogSD*districtLogSD)
	for _, i := range own {
		k := lw.nearest(shared, lw.Tests[i].On)
		here, there := lw.walkPlace(lw.Tests[i].On), lw.walkPlace(lw.Tests[k].On)
		variance := levels[i].variance + levels[k].variance + driftVariance(lw.Tests[i].On, lw.Tests[k].On)
		lw.apart[i] = make([]float64, len(drawn))
		// By the district alone the place would have this level, this well known.
		byDistrict := variance - levels[i].variance + districtLogSD*districtLogSD
		weight := levels[i].variance / (levels[i].variance + byDistrict)
		vague := weight > 0.5
		for w := range apart {
			drift := lw.walked(w, here) - lw.walked(w, there)
			differs := levels[i].logs[w] - levels[k].logs[w] - drift
			apart[w] = (precision*apart[w] + differs/variance) / (precision + 1/variance)
			lw.apart[i][w] = weight * (drawn[w] - differs)
			if vague {
				lw.apart[i][w] += levels[i].logs[w] - levels[k].logs[w]
			}
		}
		precision += 1 / variance
		if vague {
			on := lw.Tests[i].On
			lw.Tests[i], lw.picks[i] = lw.Tests[k], lw.picks[k]
			lw.Tests[i].On = on
		}
	}
	for _, i := range shared {
		lw.apart[i] = apart
	}
}

// apartIn returns by what factor, as a logarithm, a world's water of a day differs from
// that of the tests around it.
func (lw *LineWater) apartIn(world int, s *waterState) float64 {
	of := func(test int) float64 {
		if lw.apart[test] == nil {
			return 0
		}
		return lw.apart[test][world]
	}
	return of(s.before) + s.share*(of(s.after)-of(s.before))
}
