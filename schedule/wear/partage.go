package wear

import (
	"math"
	"sync"

	"limekeep/water/figure"
)

// partAges is how far into its life a part is that one meets on a day, as a share of
// that life: the age of a renewal process met at random. Long intervals are met more
// often than short ones, in proportion to their length (Cox 1962, Renewal Theory,
// chapter 5).
//
// Intervals of care are shares of the life that the part then has: log-normal, with
// a median and a log standard deviation.
type partAges struct {
	median, logSD float64
	points        [agePoints + 1]float64 // quantiles, at equal steps of the share below
}

// agePoints is how finely the quantiles are tabulated. A choice of numerical method.
const agePoints = 512

// How late parts are cared for, in shares of a life: by somebody unknown, of whose care
// half comes late and one in ten at two and a half lives; and by somebody who looks
// after them. Assumptions.
var (
	strangersAges = sync.OnceValue(func() *partAges { return newPartAges(1.0, 0.7) })
	carersAges    = sync.OnceValue(func() *partAges { return newPartAges(0.9, 0.25) })
)

func newPartAges(median, logSD float64) *partAges {
	p := &partAges{median: median, logSD: logSD}
	most := median * math.Exp(4*logSD)
	low := 0.0
	for i := range p.points {
		share := float64(i) / agePoints
		high := most
		for range 60 {
			if middle := (low + high) / 2; p.below(middle) < share {
				low = middle
			} else {
				high = middle
			}
		}
		p.points[i] = high
		low = p.points[max(0, i-1)]
	}
	return p
}

// below is the share of parts met that are not older than an age:
// F(a) = (a·S(a) + ∫₀ᵃ x f(x) dx) / μ, of intervals with density f, survival S and
// mean μ.
func (p *partAges) below(age float64) float64 {
	if age <= 0 {
		return 0
	}
	mean := p.median * math.Exp(p.logSD*p.logSD/2)
	z := math.Log(age/p.median) / p.logSD
	return age/mean*(1-figure.NormalBelow(z)) + figure.NormalBelow(z-p.logSD)
}

// at is the age that a share of the parts met do not exceed.
func (p *partAges) at(share float64) float64 {
	x := min(max(share, 0), 1) * agePoints
	i := min(int(x), agePoints-1)
	return p.points[i] + (x-float64(i))*(p.points[i+1]-p.points[i])
}

// How old equipment is whose age nobody knows, in years: its life is log-normal about
// ten, and it is met at random in it. Assumption.
var equipmentAges = sync.OnceValue(func() *partAges { return newPartAges(10, 0.4) })
