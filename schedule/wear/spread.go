package wear

import (
	"math"

	"limekeep/schedule/care"
)

// Spread is what is known of a positive number before it is measured: its 10,
// 50 and 90 % points. Between and beyond them it is log-normal on either side
// of the middle.
type Spread struct {
	Low, Usual, High float64
}

// widened gives the spread with an independent error on top.
func (s Spread) widened(logSD float64) Spread {
	return Spread{
		Low:   s.Usual * math.Exp(-math.Hypot(math.Log(s.Usual/s.Low), z90*logSD)),
		Usual: s.Usual,
		High:  s.Usual * math.Exp(math.Hypot(math.Log(s.High/s.Usual), z90*logSD)),
	}
}

// z90 is the standard normal's 90 % point.
const z90 = 1.2815515655446004

// At gives the value that a share u of the distribution lies below, u in (0, 1).
func (s Spread) At(u float64) float64 {
	z := normalQuantile(u) / z90
	if z < 0 {
		return s.Usual * math.Pow(s.Low/s.Usual, -z)
	}
	return s.Usual * math.Pow(s.High/s.Usual, z)
}

// draw gives the value at each of some shares.
func (s Spread) draw(uniforms []float64) []float64 {
	values := make([]float64, len(uniforms))
	for i, u := range uniforms {
		values[i] = s.At(u)
	}
	return values
}

// spreadOf is a limit of the catalogue as a distribution.
func spreadOf(l care.Limit) Spread { return Spread{Low: l.Low, Usual: l.Usual, High: l.High} }

// normalQuantile is the inverse of the standard normal distribution.
func normalQuantile(u float64) float64 {
	return math.Sqrt2 * math.Erfinv(2*u-1)
}

// normalBelow is the standard normal distribution.
func normalBelow(z float64) float64 {
	return 0.5 * math.Erfc(-z/math.Sqrt2)
}

// logNormal turns uniforms into factors around 1.
func logNormal(uniforms []float64, logSD float64) []float64 {
	factors := make([]float64, len(uniforms))
	for i, u := range uniforms {
		factors[i] = math.Exp(logSD * normalQuantile(u))
	}
	return factors
}
