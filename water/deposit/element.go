package deposit

// CalciteKJPerKgK is the specific heat of calcite, kJ/(kg·K): handbooks, near
// 60 °C.
const CalciteKJPerKgK = 0.82

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
