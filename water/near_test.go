package water

import (
	"math"
	"testing"
)

func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) { // also for NaN
		t.Errorf("%s is %.6g, want %.6g within %.2g", what, got, want, within)
	}
}
