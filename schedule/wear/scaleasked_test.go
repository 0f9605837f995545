package wear

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// What was laid down before the descaling that a gauge starts from is not looked up, where
// nobody asks for pictures of the past: the outcomes are those where all of it is, but for
// how sums are rounded.
func TestScaleBeforeDescalingCountsForNothing(t *testing.T) {
	k := newKitchen(t)
	k.logged(300, 4)
	k.served(400, record.Service{Task: "machine/descale/brew", Finding: record.Film})
	k.served(300, record.Service{Task: "machine/descale/steam", Finding: record.Film})
	k.served(120, record.Service{Task: "machine/descale/steam", Left: 0.5})
	asked := k.forecast(t)
	k.courses = true
	whole := k.forecast(t)
	for _, task := range []string{"machine/descale/brew", "machine/descale/steam"} {
		a, b := asked[task], whole[task]
		if a.Scale == nil || a.Scale.Grams.Likely <= 0 {
			t.Fatalf("%s: no scale", task)
		}
		for i := range b.Gauges {
			b.Gauges[i].Course = nil
		}
		if diff := cmp.Diff(b, a, cmpopts.EquateApprox(1e-9, 1e-12), cmpopts.IgnoreTypes(care.Duty{}), cmpopts.EquateEmpty(),
			cmp.Comparer(func(a, b care.BoundGauge) bool { return a.Name == b.Name })); diff != "" {
			t.Errorf("%s (-all of it +what is asked)\n%s", task, diff)
		}
	}
}
