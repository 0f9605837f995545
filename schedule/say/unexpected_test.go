package say_test

import (
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/spell"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// What a finding is told by: how unexpected it was, what would explain it on that
// side, and what would tell the explanations apart.
func TestUnexpected(t *testing.T) {
	on := record.NewDate(2026, time.March, 4)
	observed := func(chance float64, more bool, found record.Service, likely, high float64) wear.Observed {
		return wear.Observed{On: on, Chance: chance, More: more, Found: found, Amount: figure.Percentiles{Low: 0.1, Likely: likely, High: high}}
	}
	part := wear.Outcome{}
	vessel := wear.Outcome{Scale: &wear.VesselScale{}}
	behind := wear.Outcome{Scale: &wear.VesselScale{Treated: true}}
	for _, c := range []struct {
		name     string
		of       wear.Outcome
		observed wear.Observed
		has, not []string
	}{
		{"a gasket worn too soon", part, observed(0.012, true, record.Service{Finding: "failed"}, 0, 0),
			[]string{"Nobody expected what was found on Wed 4 Mar 2026 (failed)", "as much, or more, had about one chance in 80", "more use than was written down", "allow for both"}, []string{"harder", "changed and nobody wrote it down"}},
		{"a gasket still fresh", part, observed(0.02, false, record.Service{Finding: "fresh"}, 0, 0),
			[]string{"as little, or less, had about one chance in 50", "a part that was changed and nobody wrote it down"}, []string{"older than was written down"}},
		{"30 g five days in", vessel, observed(1e-6, true, record.Service{Finding: "crust", Grams: 30}, 0.4, 0.9),
			[]string{"(crust, 30 g)", "less than one chance in 1,000", "more than all that the water", "(0.4 g at the most likely)", "water that is harder", "A water test (`limekeep water add`)"}, []string{"cartridge"}},
		{"the same behind a cartridge", behind, observed(0.004, true, record.Service{Finding: "crust"}, 0.4, 0.9),
			[]string{"about one chance in 300", "a cartridge that let hardness through"}, []string{"more than all that the water"}},
		{"bare where a crust was due", vessel, observed(0.03, false, record.Service{Finding: "bare"}, 12, 20),
			[]string{"water that is softer", "a descaling that nobody wrote down", "or an eye that saw too little of it"}, []string{"harder"}},
	} {
		c.of.Learned = &wear.Learned{Findings: 1, Observed: []wear.Observed{c.observed}}
		said := say.Unexpected(c.of, spell.Command)
		if len(said) != 1 {
			t.Errorf("%s: %q, want one sentence", c.name, said)
			continue
		}
		for _, want := range c.has {
			if !strings.Contains(said[0], want) {
				t.Errorf("%s: %q lacks %q", c.name, said[0], want)
			}
		}
		for _, never := range c.not {
			if strings.Contains(said[0], never) {
				t.Errorf("%s: %q holds %q", c.name, said[0], never)
			}
		}
	}
	likely := wear.Outcome{Learned: &wear.Learned{Findings: 1, Observed: []wear.Observed{observed(wear.Unexpected, true, record.Service{Finding: "worn"}, 1, 2)}}}
	if said := say.Unexpected(likely, nil); said != nil {
		t.Errorf("what was to be expected is remarked on: %q", said)
	}
	if said := say.Unexpected(part, nil); said != nil {
		t.Errorf("nothing was found and is remarked on: %q", said)
	}
}
