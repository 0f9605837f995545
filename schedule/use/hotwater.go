package use

import (
	"math"

	"limekeep/water/figure"
)

// HotWater is how uncertain it is what hot water is drawn where nobody said it: at a
// share of places none is, at the others the litres for each shot are log-normal. The
// zero HotWater is one that was said.
type HotWater struct {
	Drawing       float64 // share of such places that draw any, 0 to 1
	LitresPerShot float64 // the middle of those that do
	LogSD         float64 // of those that do
	Told          float64 // litres for each shot as a log has them
	Weight        float64 // share of this that a log has not replaced, 0 to 1
}

// Assumed reports whether nobody said it.
func (h HotWater) Assumed() bool { return h.Weight > 0 }

// mean is the litres for each shot over all such places.
func (h HotWater) mean() float64 {
	return h.Drawing * h.LitresPerShot * math.Exp(h.LogSD*h.LogSD/2)
}

// At returns the litres for each shot at a point between 0 and 1 of all such places.
func (h HotWater) At(share float64) float64 {
	if !h.Assumed() {
		return h.Told
	}
	litres := 0.0
	if none := 1 - h.Drawing; share > none {
		litres = h.LitresPerShot * math.Exp(h.LogSD*figure.NormalQuantile((share-none)/h.Drawing))
	}
	return (1-h.Weight)*h.Told + h.Weight*litres
}

// Factor returns what stands at such a point on the litres that are expected; 1 where
// the hot water was said.
func (h HotWater) Factor(share float64) float64 {
	expected := (1-h.Weight)*h.Told + h.Weight*h.mean()
	if !h.Assumed() || expected <= 0 {
		return 1
	}
	return h.At(share) / expected
}

// Percentiles returns the points of the litres for each shot; zeros where it was said.
func (h HotWater) Percentiles() figure.Percentiles {
	if !h.Assumed() {
		return figure.Percentiles{}
	}
	return figure.By(h.At)
}
