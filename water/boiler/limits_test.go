package boiler

import (
	"strings"
	"testing"

	"limekeep/water"
	"limekeep/water/watertest"
)

// By hand: 14 meq/kg of alkalinity are 700 mg/L CaCO3 (50.04 g/eq), just the
// limit for low pressure boilers of the ABMA; 100 mg/L of chloride are
// 2.82 mmol/kg.
func TestLimitsCompare(t *testing.T) {
	limits := UsualLimits()
	water := water.Totals{Sodium: 0.0168, Alkalinity: 0.01399, Carbon: 0.01399, Chloride: 0.00282}
	rs := limits.Compare(water)
	if len(rs) != 4 {
		t.Fatalf("%d comparisons, want 4", len(rs))
	}
	watertest.Near(t, "alkalinity, mg/L", rs[0].MgPerL, 700, 0.5)
	watertest.Near(t, "alkalinity, share", rs[0].Share(), 1, 0.001)
	watertest.Near(t, "chloride, mg/L", rs[2].MgPerL, 100, 0.1)
	watertest.Near(t, "silica, mg/L", rs[3].MgPerL, 0, 0)
	// By hand: sodium 386 and chloride 100 mg, and HCO3- drying to 420 mg of CO3-2.
	watertest.Near(t, "dissolved solids, mg/L", rs[1].MgPerL, 386+100+420, 3)
	for _, r := range rs {
		if (r.Sentence != "") != (r.Share() > 1) {
			t.Errorf("%s at %.3f of its limit says %q", r.Quantity, r.Share(), r.Sentence)
		}
	}
	watertest.Near(t, "foaming", limits.Foaming(water), rs[0].Share(), 1e-12)
	twice := limits.Compare(water.Times(2))
	if !strings.Contains(twice[2].Sentence, "200") || !strings.Contains(twice[0].Sentence, "foams") {
		t.Errorf("twice as much says %q and %q", twice[2].Sentence, twice[0].Sentence)
	}
	watertest.Near(t, "foaming twice", limits.Foaming(water.Times(2)), 2, 0.01)
	limits.ChlorideMgPerL = 0
	if rs := limits.Compare(water); len(rs) != 3 {
		t.Errorf("%d comparisons without a limit for chloride, want 3", len(rs))
	}
}
