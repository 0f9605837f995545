package water

import (
	"math"

	"limekeep/water/figure"
)

// Observation is what one measured value says about the truth: a normal or a
// bucket with blurred edges, on the scale log(value + floor) or, with floor
// 0, on the value itself. Values are in the quantity's canonical unit.
type Observation struct {
	Quantity  Quantity
	Value     float64 // as measured, canonical
	Floor     float64 // 0: the scale is the value itself
	HalfWidth float64 // half width of the bucket on the scale, 0 for a normal
	Blur      float64 // standard deviation of the edges, or of the normal
}

// No measurement is taken as better than this: spreads are floored at a share
// of the value and at a share of the quantity's plausible range (assumption),
// which also keeps a spread written with a slipped decimal point from ruling
// out every water.
const (
	leastSpreadShare = 0.002
	leastSpreadRange = 5e-6
)

// What the formulas for conductivity and dissolved solids add to the spread
// of a measured value, as a share of it. Conductivity agrees with handbook
// solutions within 2 % but for paired sulfates; dry residue keeps some water
// of crystallisation (assumption).
const (
	conductivityModelShare = 0.03
	solidsModelShare       = 0.05
)

// NewObservation turns a validated measured value into an observation. The error is a
// *QuantityError, *UnitError or *MethodError.
func NewObservation(m Measured) (Observation, error) {
	value, err := m.Quantity.Canonical(m.Value, m.Unit)
	if err != nil {
		return Observation{}, err
	}
	r := Observation{Quantity: m.Quantity, Value: value}
	if err := r.spreadFrom(m); err != nil {
		return Observation{}, err
	}
	low, high := m.Quantity.Plausible()
	r.blurAtLeast(math.Max(leastSpreadShare*value, leastSpreadRange*(high-low)))
	switch m.Quantity {
	case Conductivity:
		r.blurAdd(conductivityModelShare * value)
	case TDS:
		r.blurAdd(solidsModelShare * value)
	}
	return r, nil
}

// spreadFrom fills in half, blur and floor from the user's own spread or from
// the method.
func (r *Observation) spreadFrom(m Measured) error {
	if m.Spread > 0 {
		sd, err := m.Quantity.Canonical(m.Spread, m.Unit)
		r.Blur = sd
		return err
	}
	unknown := &MethodError{Written: string(m.Method), For: m.Quantity}
	switch m.Method {
	case MethodStrip:
		bucket, ok := methodStrips[m.Quantity]
		if !ok {
			return unknown
		}
		r.Floor, r.HalfWidth, r.Blur = bucket.floor, bucket.half, methodStripBlur*bucket.half
	case MethodDrop:
		drop, err := m.drop()
		if err != nil {
			return err
		}
		r.HalfWidth = drop
		r.Blur = math.Hypot(methodDropBlur*drop, methodDropSizeBlur*r.Value)
	case MethodMeter, MethodLaboratory:
		table := methodMeters
		if m.Method == MethodLaboratory {
			table = methodLaboratories
		}
		spread, ok := table[m.Quantity]
		if !ok {
			return unknown
		}
		r.Blur = math.Hypot(spread.share*r.Value, spread.floor)
	default:
		return &MethodError{Written: string(m.Method)}
	}
	return nil
}

// drop is the size of one drop in the canonical unit.
func (m Measured) drop() (float64, error) {
	if m.DropSize > 0 {
		return m.Quantity.Canonical(m.DropSize, m.Unit)
	}
	if !methodDrops[m.Quantity] {
		return 0, &MethodError{Written: string(MethodDrop), For: m.Quantity}
	}
	switch m.Unit {
	case FrenchDegree, ClarkDegree, GrainPerGallon:
		return m.Quantity.Canonical(1, m.Unit)
	}
	return m.Quantity.Canonical(1, GermanDegree)
}

// blurAtLeast raises the spread of a narrow normal on the value's own scale.
func (r *Observation) blurAtLeast(sd float64) {
	if r.Floor == 0 {
		r.Blur = math.Max(r.Blur, sd)
	}
}

// blurAdd adds a standard deviation of the value in quadrature.
func (r *Observation) blurAdd(sd float64) {
	if r.Floor != 0 {
		sd /= r.Value + r.Floor
	}
	r.Blur = math.Hypot(r.Blur, sd)
}

// scale is the observation's scale at a value.
func (r *Observation) scale(value float64) float64 {
	if r.Floor == 0 {
		return value
	}
	return math.Log(math.Max(value, 0) + r.Floor)
}

// SD is the standard deviation in the canonical unit, at the value measured.
func (r *Observation) SD() float64 {
	sd := math.Hypot(r.HalfWidth/math.Sqrt(3), r.Blur)
	if r.Floor == 0 {
		return sd
	}
	return sd * (r.Value + r.Floor)
}

// LogLikelihood is the logarithm of how well a true value explains the
// observation: about 0 at best.
func (r *Observation) LogLikelihood(truth float64) float64 {
	x := math.Abs(r.scale(truth) - r.scale(r.Value))
	if r.HalfWidth == 0 {
		x /= r.Blur
		return -x * x / 2
	}
	near, far := (x-r.HalfWidth)/r.Blur, (x+r.HalfWidth)/r.Blur
	if near > 6 {
		// Far outside: the tail of a normal, in logarithms to stay finite.
		return -near*near/2 - math.Log(near*math.Sqrt(2*math.Pi))
	}
	return math.Log(figure.NormalBelow(-near) - figure.NormalBelow(-far))
}

// Lognormal approximates the observation by a normal of the logarithm, a little
// wider than the observation itself, to draw proposals from. An observation at or near
// zero leaves the logarithm wide open downwards.
func (r *Observation) Lognormal() (mean, sd float64) {
	spread := r.SD()
	level := math.Sqrt(r.Value*r.Value + spread*spread/2)
	return math.Log(level), math.Min(1.15*spread/level, 1.2)
}
