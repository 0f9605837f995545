package wear

import (
	"math"
	"slices"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// taught is what parts teach that were found, one after the other, after having used so
// much; the present one is new.
func taught(found record.Finding, amounts ...float64) (after figure.Percentiles, own float64) {
	prior := figure.Percentiles{Low: 50, Likely: 100, High: 200}
	g := &partGauge{prior: prior, limits: []float64{100}, count: func(e care.Exposure) float64 { return e.Days }}
	var observed []observation
	for i, a := range amounts {
		observed = append(observed, observation{part: i, state: State{Amount: a, Factor: 1, Limit: 100}, found: record.Service{Finding: found}})
	}
	l := learnLimit(g, prior, [][]observation{observed}, groupByUse([]float64{0}, 1), presentPart{part: len(amounts)})
	return figure.By(func(share float64) float64 { return limitAt(prior, l.groups[0].at(share)) }), l.own
}

// What is each part's own is learnt: less of it where parts last the same, whose next
// one is then known well; more where they do not, and the window stays wide.
func TestOwnShareOfALimitIsLearnt(t *testing.T) {
	none, prior := taught(record.Worn)
	for i, at := range []float64{none.Low / 50, none.Likely / 100, none.High / 200} {
		if math.Abs(at-1) > 0.01 {
			t.Errorf("nothing found: point %d is at %.3f of the prior's", i, at)
		}
	}
	width := func(p figure.Percentiles) float64 { return p.High / p.Low }
	same, ownSame := taught(record.Worn, 98, 102, 100, 97, 103, 100, 99, 101)
	apart, ownApart := taught(record.Worn, 45, 210, 60, 170, 50, 190, 80, 230)
	t.Logf("before a factor of %.2f, own %.2f; agreeing %.2f, %.2f; scattering %.2f, %.2f", width(none), prior, width(same), ownSame, width(apart), ownApart)
	if ownSame > prior-0.05 || ownApart < prior+0.1 {
		t.Errorf("own share: %.2f beforehand, %.2f where parts agree, %.2f where they scatter", prior, ownSame, ownApart)
	}
	if width(same) > 0.6*width(none) || width(apart) < 1.3*width(same) {
		t.Errorf("early to late: a factor of %.2f beforehand, %.2f where parts agree, %.2f where they scatter", width(none), width(same), width(apart))
	}
}

// A part always changed since its time had come tells its limit by its interval; one that
// was also found fresh was changed by the clock, and tells less.
func TestIntervalsTellLimitsWhereCareIsBySight(t *testing.T) {
	sight, _ := taught(record.Worn, 60, 58, 62, 61)
	if sight.Likely < 55 || sight.Likely > 70 {
		t.Errorf("parts whose time had come after 60: the next is expected at %.0f", sight.Likely)
	}
	clock, _ := taught(record.Fresh, 60, 58, 62, 61)
	if clock.Low < 60 || clock.Likely < 110 {
		t.Errorf("parts that were fresh after 60: the next is expected at %v", clock)
	}
	if clock.High/clock.Low < sight.High/sight.Low {
		t.Errorf("found fresh, early to late is a factor of %.2f; when its time had come, %.2f", clock.High/clock.Low, sight.High/sight.Low)
	}
}

// Nothing that can be written down makes the limit anything but a number: services on
// the day of the one before, or after far longer than anything lasts, hundreds of them.
func TestOddIntervalsTeachNoNonsense(t *testing.T) {
	for _, amount := range []float64{0, 1e-300, 1e9} {
		for _, found := range []record.Finding{record.Fresh, record.Worn, record.Failed} {
			p, own := taught(found, slices.Repeat([]float64{amount}, 200)...)
			if !(p.Low > 1 && p.Low <= p.Likely && p.Likely <= p.High && p.High < 1e4 && own >= 0 && own <= 1) {
				t.Errorf("%s after %g, 200 times: %v, own share %v", found, amount, p, own)
			}
		}
	}
}
