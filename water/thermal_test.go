package water

import (
	"fmt"
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) { // also for NaN
		t.Errorf("%s is %.6g, want %.6g within %.2g", what, got, want, within)
	}
}

// By hand: 100 kW/m² · 0.001 m / 1 W/(m·K) = 100 K; a third of a millimetre at
// 1.2 W/(m·K) under 80 kW/m² is 80·0.33/1.2 = 22 K.
func TestElementExcess(t *testing.T) {
	near(t, "excess under 1 mm", ElementExcessKelvin(100, 1, 1), 100, 1e-12)
	near(t, "excess under 0.33 mm", ElementExcessKelvin(80, 0.33, 1.2), 22, 1e-12)
	near(t, "excess of a bare element", ElementExcessKelvin(100, 0, 1), 0, 0)
}

// Enthalpies of water at saturation from the steam tables (IAPWS-IF97), kJ/kg:
// 62.98 at 15 °C, 389.6 at 93 °C, 503.8 at 120 °C.
func TestWaterHeat(t *testing.T) {
	for celsius, enthalpy := range map[float64]float64{93: 389.6, 120: 503.8} {
		want := enthalpy - 62.98
		got := WarmUp{WaterKg: 1, FromCelsius: 15, ToCelsius: celsius}.KJ()
		near(t, fmt.Sprintf("heat to %g °C", celsius), got, want, 0.003*want)
	}
}

// By hand: (1.5·4.19 + 2·0.39)·100 = 706.5 kJ, at 1500 W 471 s.
func TestWarmUp(t *testing.T) {
	w := WarmUp{WaterKg: 1.5, MetalKg: 2, MetalKJPerKgK: CopperKJPerKgK, FromCelsius: 20, ToCelsius: 120, Watts: 1500}
	near(t, "heat", w.KJ(), 706.5, 1e-9)
	near(t, "time", w.Seconds(), 471, 1e-9)
}

// By hand: 0.3 kg of element at 0.5 kJ/(kg·K) and 20 g of scale, 100 K:
// 100·(0.15 + 0.02·0.82/2) = 15.82 kJ, at 1400 W 11.3 s.
func TestScaleCostsHeat(t *testing.T) {
	kJ, seconds := ScaledElement{ElementKJPerK: 0.15, ScaleGrams: 20, ExcessKelvin: 100, Watts: 1400}.WarmUpLoss()
	near(t, "heat", kJ, 15.82, 1e-9)
	near(t, "time", seconds, 11.3, 1e-9)
}

// By hand: a jet of 0.8 mm with 0.1 mm all round has 0.6 mm left, (0.6/0.8)² =
// 0.5625; 15 % of flow lost is 0.4·(1 - √0.85) = 0.0312 mm.
func TestOrifice(t *testing.T) {
	near(t, "flow", OrificeFlowShare(0.8, 0.1), 0.5625, 1e-12)
	near(t, "flow of a clean jet", OrificeFlowShare(0.8, 0), 1, 0)
	near(t, "flow of a closed jet", OrificeFlowShare(0.8, 0.5), 0, 0)
	near(t, "thickness", OrificeThicknessMM(0.8, 0.85), 0.0312, 5e-5)
	for _, share := range []float64{0, 0.3, 0.85, 1} {
		near(t, "flow back from thickness", OrificeFlowShare(0.7, OrificeThicknessMM(0.7, share)), share, 1e-12)
	}
}
