package advice_test

import (
	"math"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/record"
)

// What becomes of a litre's hardness comes to what was in it, whatever stands before
// the machine; a fresh softener without bypass holds back nearly all, and none holds
// back nothing.
func TestNextLitreAddsUp(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	softener := func(bypass float64) record.Treatment {
		return record.Treatment{ID: "softener", Kind: record.Softener, RatedLitres: 1e6, RatedDegrees: 10, BypassShare: bypass}
	}
	for name, c := range map[string]struct {
		stages    []record.Treatment
		low, high float64 // share held back
	}{
		"none":        {nil, 0, 0},
		"a softener":  {[]record.Treatment{softener(0)}, 0.95, 1},
		"half of it":  {[]record.Treatment{softener(0.5)}, 0.45, 0.55},
		"two in line": {[]record.Treatment{softener(0.5), {ID: "second", Kind: record.Softener, RatedLitres: 1e6, RatedDegrees: 10, BypassShare: 0.5}}, 0.7, 0.8},
	} {
		t.Run(name, func(t *testing.T) {
			d, _ := compareDesk(t, c.stages...)
			n, ok, err := advice.NextLitreOf(d.Forecast(t, schedule.Moment{Today: compareDay}), "tap")
			if err != nil || !ok {
				t.Fatal(ok, err)
			}
			sum := n.Taken + n.Leaves
			for _, v := range n.Scale {
				if v.MgPerL < 0 || v.MgPerL > n.Hardness-n.Taken {
					t.Errorf("%s gets %v mg of %v", v.Vessel, v.MgPerL, n.Hardness-n.Taken)
				}
				sum += v.MgPerL
			}
			if math.Abs(sum-n.Hardness) > 1e-6*n.Hardness || len(n.Scale) == 0 {
				t.Errorf("%v of %v mg are accounted for: %+v", sum, n.Hardness, n)
			}
			if share := n.Taken / n.Hardness; share < c.low-1e-9 || share > c.high+1e-9 {
				t.Errorf("%.2f is held back, want %.2f to %.2f", share, c.low, c.high)
			}
		})
	}
}
