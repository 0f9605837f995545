package watertest

import (
	"math"
	"testing"
)

// Near fails the test where got is further than within from want.
func Near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) { // also for NaN
		t.Errorf("%s is %.6g, want %.6g within %.2g", what, got, want, within)
	}
}
