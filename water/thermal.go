package water

import "math"

// WarmUp is the heating of a vessel with its water.
type WarmUp struct {
	WaterKg       float64
	MetalKg       float64
	MetalKJPerKgK float64 // specific heat, see below
	FromCelsius   float64
	ToCelsius     float64
	Watts         float64
}

// Specific heats in kJ/(kg·K). Water: the mean between 15 °C and a boiler's
// temperature by the steam tables (IAPWS), 0.3 % off at most to 130 °C. Metals
// and calcite: handbooks, near 60 °C.
const (
	WaterKJPerKgK     = 4.19
	CopperKJPerKgK    = 0.39
	BrassKJPerKgK     = 0.38
	StainlessKJPerKgK = 0.50
	AluminiumKJPerKgK = 0.90
	CalciteKJPerKgK   = 0.82
)

// KJ is the heat that goes into water and metal. What is lost to the room
// meanwhile is not counted.
func (w WarmUp) KJ() float64 {
	return (w.WaterKg*WaterKJPerKgK + w.MetalKg*w.MetalKJPerKgK) * (w.ToCelsius - w.FromCelsius)
}

// Seconds is how long the heater takes at least. A boiler that takes much
// longer than it used to has a heater that no longer heats in full.
func (w WarmUp) Seconds() float64 { return 1000 * w.KJ() / w.Watts }

// ElementExcessKelvin is how much hotter a heating element runs under scale
// than bare: q·δ/k, from its heat flux in kW/m², the thickness of the scale in
// mm and the conductivity of scale in W/(m·K). The sheath is thin against its
// diameter, so the layer counts as flat.
func ElementExcessKelvin(fluxKWPerM2, thicknessMM, wattsPerMetreKelvin float64) float64 {
	return fluxKWPerM2 * thicknessMM / wattsPerMetreKelvin
}

// ScaledElement is an element under scale.
type ScaledElement struct {
	ElementKJPerK float64 // heat the element itself takes up: mass times specific heat
	ScaleGrams    float64 // on it
	ExcessKelvin  float64 // from ElementExcessKelvin
	Watts         float64
}

// WarmUpLoss is what scale costs at each warm-up from cold: the heat in
// kJ that the hotter element and, on average half as much hotter, the scale
// take up before the water gets it, and the seconds that takes. It is given
// back to the water when the heater switches off and lost to the room only when
// the machine is let go cold. All else an immersed element turns to heat reaches
// the water, scale or not: scale costs it its life, not power. Assumption: it
// has a fixed power and no losses through its terminals.
func (e ScaledElement) WarmUpLoss() (kJ, seconds float64) {
	kJ = e.ExcessKelvin * (e.ElementKJPerK + e.ScaleGrams/1000*CalciteKJPerKgK/2)
	return kJ, 1000 * kJ / e.Watts
}

// OrificeFlowShare is the share of its flow left to a jet, 0 to 1, when its
// bore is scaled all round: at equal pressure flow goes with the area,
// ((d-2δ)/d)². Bore and thickness in mm; 0 when it is closed.
func OrificeFlowShare(boreMM, thicknessMM float64) float64 {
	open := max(0, 1-2*thicknessMM/boreMM)
	return open * open
}

// OrificeThicknessMM is the scale in mm, all round a bore in mm, that leaves a
// share of the flow, 0 to 1: what a flow test tells of it.
func OrificeThicknessMM(boreMM, flowShare float64) float64 {
	return boreMM / 2 * (1 - math.Sqrt(flowShare))
}
