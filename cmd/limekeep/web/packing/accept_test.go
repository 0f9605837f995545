package packing

import (
	"strings"
	"testing"
)

func FuzzTakesGzip(f *testing.F) {
	for _, seed := range []string{"", "gzip", "gzip;q=0", "*;q=0, gzip", "br;q=1.0, gzip;q=0.8", ";;,=,q", "gzip;q=NaN"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, accept string) {
		if !strings.Contains(accept, "*") && !strings.Contains(strings.ToLower(accept), "gzip") && TakesGzip(accept) {
			t.Errorf("%q is said to take gzip", accept)
		}
		if !TakesGzip("gzip, " + accept) {
			t.Errorf("gzip is not taken before %q", accept)
		}
	})
}
