package plan

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// On household sizes the plan of everyday effort is known to be close to the best
// there is, by a bound that takes longer than the plan. Where what comes again
// within ten days is routine and out of the sittings, what is left costs less and the
// same minutes are a larger share.
func TestGapOfHouseholds(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	households := 8
	if soaking() {
		households = 500
	}
	for _, c := range []struct {
		minutes      float64 // of every slot
		routine      bool    // small work that comes often has rounds of its own
		median, most float64 // gap that is allowed
	}{{180, false, 0.01, 0.05}, {120, false, 0.01, 0.05}, {120, true, 0.03, 0.07}} {
		var gaps []float64
		for i := range households {
			r := household(rand.New(rand.NewPCG(uint64(i), 7)))
			for s := range r.Slots {
				r.Slots[s].Minutes = c.minutes
			}
			for i := range r.Tasks {
				r.Tasks[i].Routine = c.routine
			}
			r.Proof = 24_000_000 // steps, six times those of a plan
			p := made(r)
			if p.Bound > p.Cost+closeEnough {
				t.Errorf("household %d: bound %.3f above the plan's own cost %.3f", i, p.Bound, p.Cost)
			}
			if gap := p.Gap(); gap > c.most {
				t.Errorf("household %d, slots of %v minutes, routine out %t: gap %.2f %%", i, c.minutes, c.routine, 100*gap)
			}
			gaps = append(gaps, p.Gap())
		}
		slices.Sort(gaps)
		median := gaps[len(gaps)/2]
		t.Logf("%d households, slots of %v minutes, routine out %t: median gap %.2f %%, nine in ten below %.2f %%, largest %.2f %%",
			households, c.minutes, c.routine, 100*median, 100*gaps[len(gaps)*9/10], 100*gaps[len(gaps)-1])
		if median > c.median {
			t.Errorf("median gap %.2f %%, want %.0f %% or less", 100*median, 100*c.median)
		}
	}
}

// BenchmarkHousehold plans 25 tasks over 78 slots.
func BenchmarkHousehold(b *testing.B) {
	r := household(rand.New(rand.NewPCG(1, 7)))
	b.ReportAllocs()
	for b.Loop() {
		made(r)
	}
}

// BenchmarkReplan plans a household whose plan of the day before was published.
func BenchmarkReplan(b *testing.B) {
	r := household(rand.New(rand.NewPCG(1, 7)))
	publish(r, made(r))
	b.ReportAllocs()
	for b.Loop() {
		made(r)
	}
}

// publish takes a plan as the one published last.
func publish(r *Request, p Plan) {
	for i := range r.Tasks {
		r.Tasks[i].Published = p.Days(r.Tasks[i].ID)
	}
}
