package deposit

import (
	"testing"

	"limekeep/water/watertest"
)

// By hand: 100 kW/m² · 0.001 m / 1 W/(m·K) = 100 K; a third of a millimetre at
// 1.2 W/(m·K) under 80 kW/m² is 80·0.33/1.2 = 22 K.
func TestElementExcess(t *testing.T) {
	watertest.Near(t, "excess under 1 mm", ElementExcessKelvin(100, 1, 1), 100, 1e-12)
	watertest.Near(t, "excess under 0.33 mm", ElementExcessKelvin(80, 0.33, 1.2), 22, 1e-12)
	watertest.Near(t, "excess of a bare element", ElementExcessKelvin(100, 0, 1), 0, 0)
}

// By hand: 0.3 kg of element at 0.5 kJ/(kg·K) and 20 g of scale, 100 K:
// 100·(0.15 + 0.02·0.82/2) = 15.82 kJ, at 1400 W 11.3 s.
func TestScaleCostsHeat(t *testing.T) {
	kJ, seconds := ScaledElement{ElementKJPerK: 0.15, ScaleGrams: 20, ExcessKelvin: 100, Watts: 1400}.WarmUpLoss()
	watertest.Near(t, "heat", kJ, 15.82, 1e-9)
	watertest.Near(t, "time", seconds, 11.3, 1e-9)
}
