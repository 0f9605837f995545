package deposit

import (
	"testing"

	"limekeep/water/watertest"
)

// By hand: a jet of 0.8 mm with 0.1 mm all round has 0.6 mm left, (0.6/0.8)² =
// 0.5625; 15 % of flow lost is 0.4·(1 - √0.85) = 0.0312 mm.
func TestOrifice(t *testing.T) {
	watertest.Near(t, "flow", OrificeFlowShare(0.8, 0.1), 0.5625, 1e-12)
	watertest.Near(t, "flow of a clean jet", OrificeFlowShare(0.8, 0), 1, 0)
	watertest.Near(t, "flow of a closed jet", OrificeFlowShare(0.8, 0.5), 0, 0)
	watertest.Near(t, "thickness", OrificeThicknessMM(0.8, 0.85), 0.0312, 5e-5)
	for _, share := range []float64{0, 0.3, 0.85, 1} {
		watertest.Near(t, "flow back from thickness", OrificeFlowShare(0.7, OrificeThicknessMM(0.7, share)), share, 1e-12)
	}
}
