package water

import (
	"fmt"
	"strings"
)

// Method is how a value was measured.
type Method string

// The methods a test may name.
const (
	MethodStrip      Method = "strip"      // colour pads compared with a chart
	MethodDrop       Method = "drop"       // titration counted in drops
	MethodMeter      Method = "meter"      // electrode, conductivity cell or photometer
	MethodLaboratory Method = "laboratory" // laboratory or supplier's report
)

// methodSpellings maps other names to methods.
var methodSpellings = map[string]Method{
	"strip": MethodStrip, "strips": MethodStrip, "test strip": MethodStrip,
	"drop": MethodDrop, "drops": MethodDrop, "drop test": MethodDrop, "titration": MethodDrop,
	"meter": MethodMeter, "probe": MethodMeter, "photometer": MethodMeter,
	"laboratory": MethodLaboratory, "lab": MethodLaboratory, "report": MethodLaboratory,
}

// MethodError says that a method is not known, or gives no spread for the
// quantity it is said to have measured.
type MethodError struct {
	Written string
	For     Quantity // set when the method is known but not for this quantity
}

// Error names the method and what would be right.
func (e *MethodError) Error() string {
	if e.For != "" {
		return fmt.Sprintf("how far off a %s may be when measured by %s is not known: give its spread, such as \"± 0.1\" behind the value, or another method, such as \"by meter\"", e.For, e.Written)
	}
	return fmt.Sprintf("method %q is not known: use one of drop, laboratory, meter, strip", e.Written)
}

// ParseMethod reads the name of a method; case does not matter. The error is
// a *MethodError.
func ParseMethod(s string) (Method, error) {
	if m, ok := methodSpellings[strings.Join(strings.Fields(strings.ToLower(s)), " ")]; ok {
		return m, nil
	}
	return "", &MethodError{Written: s}
}

// methodBucket describes the pads of a strip. On the scale log(value + floor)
// the pads are about evenly spaced, so that the value lies within half of what
// the strip shows; with floor 0 the scale is the value itself.
type methodBucket struct {
	floor float64 // canonical unit
	half  float64 // half the distance between pads, on the scale
}

// Half the distance between the pads of strips on sale, rounded: assumption.
// Pads for hardness often stand at 0, 25, 50, 120, 250 and 425 mg/L CaCO3.
var methodStrips = map[Quantity]methodBucket{
	Hardness:     {20, 0.30},
	Calcium:      {10, 0.30},
	Magnesium:    {5, 0.30},
	Alkalinity:   {20, 0.25},
	PH:           {0, 0.30},
	Sodium:       {10, 0.40},
	Potassium:    {5, 0.40},
	Chloride:     {20, 0.35},
	Sulfate:      {100, 0.40},
	Nitrate:      {5, 0.40},
	Silica:       {5, 0.40},
	FreeChlorine: {0.3, 0.40},
}

// A person reads the colour between two pads now one way, now the other: the
// edge of a bucket is blurred by this share of its half width (assumption).
const methodStripBlur = 0.25

// A drop test is right to one drop either way. The edge is blurred by a fifth
// of a drop, and drops differ in size by 4 % (assumptions).
const (
	methodDropBlur     = 0.2
	methodDropSizeBlur = 0.04
)

// methodSpread is a standard deviation: a share of the value and a floor in
// the canonical unit, added in quadrature.
type methodSpread struct {
	share, floor float64
}

// Spread of meters: assumption. A dissolved-solids meter multiplies
// conductivity by a factor that is 0.5 to 0.7 for tap water, hence 15 %.
// Hardness, alkalinity and silica are read by photometer, single ions by
// electrode or photometer.
var methodMeters = map[Quantity]methodSpread{
	Hardness:     {0.05, 4},
	Calcium:      {0.08, 3},
	Magnesium:    {0.08, 2},
	Alkalinity:   {0.05, 4},
	PH:           {0, 0.10},
	Conductivity: {0.03, 1},
	TDS:          {0.15, 2},
	Sodium:       {0.10, 1},
	Potassium:    {0.10, 1},
	Chloride:     {0.10, 2},
	Sulfate:      {0.10, 5},
	Nitrate:      {0.10, 1},
	Silica:       {0.10, 0.5},
	FreeChlorine: {0.05, 0.03},
}

// Spread of laboratories: assumption, about half of what Directive (EU)
// 2020/2184, Annex III, part B allows (uncertainty of 15 % at two standard
// deviations for the ions, 0.2 for pH). A supplier's average belongs here too
// only with a spread of its own.
var methodLaboratories = map[Quantity]methodSpread{
	Hardness:     {0.03, 1},
	Calcium:      {0.04, 0.3},
	Magnesium:    {0.04, 0.1},
	Alkalinity:   {0.03, 1},
	PH:           {0, 0.10},
	Conductivity: {0.02, 0.5},
	TDS:          {0.06, 4},
	Sodium:       {0.04, 0.2},
	Potassium:    {0.04, 0.1},
	Chloride:     {0.04, 0.3},
	Sulfate:      {0.04, 0.5},
	Nitrate:      {0.04, 0.2},
	Silica:       {0.05, 0.1},
	FreeChlorine: {0.05, 0.02},
}

// methodDrops lists what is commonly titrated by drops; one drop is one
// German degree unless the unit or the test says otherwise.
var methodDrops = map[Quantity]bool{Hardness: true, Alkalinity: true, Calcium: true, Magnesium: true}

// Spread is the standard deviation, in the canonical unit of the quantity, of
// a value measured by the method; canonical is the value in that unit. A drop
// is taken as one German degree. The error is a *MethodError when the method
// does not measure the quantity.
func (m Method) Spread(q Quantity, canonical float64) (float64, error) {
	r, err := NewObservation(Measured{Quantity: q, Value: canonical, Unit: q.Unit(), Method: m})
	if err != nil {
		return 0, err
	}
	return r.SD(), nil
}
