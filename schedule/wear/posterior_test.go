package wear

import (
	"testing"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// learned gives the points of a vessel's multiplier after a number of findings,
// each met with so many grams that could have been laid down.
func learned(grams float64, found ...record.Service) figure.Percentiles {
	g := &scaleGauge{prior: depositMultiplier, eyeMM: 0.02}
	var story []observation
	for _, f := range found {
		story = append(story, observation{state: State{Amount: grams}, found: f})
	}
	p := newPosterior(depositMultiplier)
	p.learn(g, [][]observation{story})
	return p.points()
}

func width(p figure.Percentiles) float64 { return p.High / p.Low }

func TestFindingsMoveTheMultiplier(t *testing.T) {
	prior := learned(10)
	bare := learned(10, record.Service{Finding: record.Bare})
	twice := learned(10, record.Service{Finding: record.Bare}, record.Service{Finding: record.Bare})
	crust := learned(10, record.Service{Finding: record.Crust})
	weighed := learned(10, record.Service{Grams: 3})
	if !(twice.Likely < bare.Likely && bare.Likely < prior.Likely && prior.Likely < crust.Likely) {
		t.Errorf("bare twice %v, bare %v, prior %v, crust %v do not rise", twice, bare, prior, crust)
	}
	if width(weighed) >= width(prior) {
		t.Errorf("3 g weighed leave %v as wide as %v", weighed, prior)
	}
	if weighed.Likely < 0.25 || weighed.Likely > 0.35 {
		t.Errorf("3 of 10 g weighed give %v, want about 0.3", weighed)
	}
}

// Contradicting findings leave the unknown wider than agreeing ones.
func TestContradictionStaysWide(t *testing.T) {
	agree := learned(10, record.Service{Finding: record.Crust}, record.Service{Finding: record.Crust})
	contradict := learned(10, record.Service{Finding: record.Crust}, record.Service{Finding: record.Bare})
	if width(contradict) <= width(agree) {
		t.Errorf("contradicting findings give %v, agreeing ones %v", contradict, agree)
	}
}

// Whatever was found, the unknown stays within what its prior can draw.
func TestPosteriorStaysWithinItsPrior(t *testing.T) {
	p := newPosterior(depositMultiplier)
	low, high := p.prior.At(center(0)/2), p.prior.At(1-center(0)/2)
	got := learned(1e-6, record.Service{Finding: record.Flakes, Grams: 400})
	if got.Low < low || got.High > high {
		t.Errorf("%v leaves %v to %v", got, low, high)
	}
}

// With nothing learned the posterior draws just what the prior draws.
func TestNothingLearnedChangesNothing(t *testing.T) {
	p := newPosterior(depositMultiplier)
	for _, u := range []float64{0.001, 0.1, 0.37, 0.5, 0.9, 0.999} {
		if got, want := p.at(u), depositMultiplier.At(u); got < want*(1-1e-9) || got > want*(1+1e-9) {
			t.Errorf("at %v: %v, want %v", u, got, want)
		}
	}
}
