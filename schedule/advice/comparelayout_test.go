package advice

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

// Layouts that come to the same stand there once, and nothing asked for asks for
// every kind.
func TestCompareLayouts(t *testing.T) {
	filter := record.Treatment{ID: "filter", Kind: record.Softener, RatedLitres: 150, RatedDegrees: 10, BypassShare: 0.4}
	sediment := record.Treatment{ID: "sieve", Kind: record.Sediment}
	line := record.Equipment{ID: "tap", Line: &record.WaterLine{Treatment: []record.Treatment{sediment, filter}}}
	names := func(o CompareQuery, e record.Equipment) []string {
		var all []string
		for _, l := range o.layouts(e, record.NewDate(2026, time.March, 2), &WaterComparison{}) {
			all = append(all, l.name)
			if len(l.stages) == 0 || l.stages[0].ID != "sieve" {
				t.Errorf("%s lost the sieve: %v", l.name, l.stages)
			}
		}
		return all
	}
	for _, tt := range []struct {
		name  string
		query CompareQuery
		want  []string
	}{
		{"nothing asked for", CompareQuery{}, []string{"softener, bypass 40 %", "no treatment", "decarboniser, bypass 40 %", "mixed, bypass 40 %", "reverse osmosis, 0 % raw"}},
		{"bypasses of what is there", CompareQuery{Bypasses: []float64{0, 0.4, 0.6}}, []string{"softener, bypass 40 %", "softener, bypass shut", "softener, bypass 60 %"}},
		{"a membrane by its blend", CompareQuery{Blends: []float64{0.1}}, []string{"softener, bypass 40 %", "reverse osmosis, 10 % raw"}},
		{"only another source", CompareQuery{Sources: []CompareSource{{Name: "spring"}}}, []string{"softener, bypass 40 %"}},
	} {
		if diff := cmp.Diff(tt.want, names(tt.query, line)); diff != "" {
			t.Errorf("%s:\n%s", tt.name, diff)
		}
	}
}
