package figure

import "math"

// Z90 is the point that 90 % of the standard normal distribution lie below.
const Z90 = 1.2815515655446004

// NormalQuantile is the point that a share u of the standard normal distribution
// lies below, for u in (0, 1): the inverse of NormalBelow.
func NormalQuantile(u float64) float64 { return math.Sqrt2 * math.Erfinv(2*u-1) }

// NormalBelow is the share of the standard normal distribution below z.
func NormalBelow(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// LogNormal turns uniforms in (0, 1) into factors about 1 whose logarithm has the
// standard deviation logSD.
func LogNormal(uniforms []float64, logSD float64) []float64 {
	factors := make([]float64, len(uniforms))
	for i, u := range uniforms {
		factors[i] = math.Exp(logSD * NormalQuantile(u))
	}
	return factors
}
