package boiler

import (
	"fmt"
	"testing"

	"limekeep/water/watertest"
)

// Enthalpies of water at saturation from the steam tables (IAPWS-IF97), kJ/kg:
// 62.98 at 15 °C, 389.6 at 93 °C, 503.8 at 120 °C.
func TestWaterHeat(t *testing.T) {
	for celsius, enthalpy := range map[float64]float64{93: 389.6, 120: 503.8} {
		want := enthalpy - 62.98
		got := WarmUp{WaterKg: 1, FromCelsius: 15, ToCelsius: celsius}.KJ()
		watertest.Near(t, fmt.Sprintf("heat to %g °C", celsius), got, want, 0.003*want)
	}
}

// By hand: (1.5·4.19 + 2·0.39)·100 = 706.5 kJ, at 1500 W 471 s.
func TestWarmUp(t *testing.T) {
	w := WarmUp{WaterKg: 1.5, MetalKg: 2, MetalKJPerKgK: CopperKJPerKgK, FromCelsius: 20, ToCelsius: 120, Watts: 1500}
	watertest.Near(t, "heat", w.KJ(), 706.5, 1e-9)
	watertest.Near(t, "time", w.Seconds(), 471, 1e-9)
}
