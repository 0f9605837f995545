// Package bound holds tests to bounds: what is read from elsewhere may take so much and
// no more.
package bound

import (
	"runtime/metrics"
	"testing"
)

// mostBytes is what reading one thing from elsewhere may take of memory, all told.
const mostBytes = 256 << 20

// Memory returns what ends a test in which something from elsewhere is read: it fails
// where that took more than 256 MB.
func Memory(t testing.TB) func() {
	t.Helper()
	before := allocated()
	return func() {
		t.Helper()
		if taken := allocated() - before; taken > mostBytes {
			t.Errorf("%d MB were taken", taken>>20)
		}
	}
}

// allocated is how many bytes were taken so far, those given back among them.
func allocated() uint64 {
	sample := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}
