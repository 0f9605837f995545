package plan

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// Whatever stands weeks from its likely day has a reason to: moved to the slot nearest that
// day, all else left, the plan would cost more. That is what a calendar's "why now" says.
func TestWhatStandsFarFromItsDayHasAReason(t *testing.T) {
	seen := map[Standing]int{}
	for i := range 6 {
		r := household(rand.New(rand.NewPCG(uint64(i), 9))) //nolint:gosec // chance that can be had again
		p, err := Make(context.Background(), r)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range p.Sittings {
			for _, turn := range s.Turns {
				seen[turn.Standing]++
				if turn.Standing == NoSlotNear && turn.Number == 1 && r.Tasks[slices.IndexFunc(r.Tasks, func(t Task) bool { return t.ID == turn.Task })].Due[LikelyQuantile] <= r.Today {
					t.Errorf("household %d: %s is past its likely day, which no preferred time to come can lie near", i, turn.Task)
				}
				if turn.Standing == NoReason {
					t.Errorf("household %d: turn %d of %s on %s has no reason to stand so far from its likely day", i, turn.Number, turn.Task, s.Date())
				}
			}
		}
	}
	if seen[RatherEarly] == 0 || seen[SharesBest]+seen[WaitsToShare] == 0 {
		t.Errorf("the households ask too little: %v", seen)
	}
}

// The reason is the one that weighs most of what speaks against moving a turn, and none
// where moving it would be cheaper.
func TestStandingNamesWhatWeighsMost(t *testing.T) {
	for _, c := range []struct {
		name        string
		moved       moved
		early, full bool
		want        Standing
	}{
		{"late would cost more", moved{harm: 40, shared: 25, waste: -30}, true, false, RatherEarly},
		{"a sitting of its own", moved{harm: 10, shared: 65, waste: -30}, true, false, SharesBest},
		{"waits for a sitting that there is", moved{harm: -10, shared: 65, waste: 20}, false, false, WaitsToShare},
		{"sooner gives life up", moved{harm: -10, waste: 30, shared: 20}, false, false, CanWait},
		{"announced", moved{harm: 5, kept: 40, waste: -20}, true, false, KeepsPlace},
		{"the next ones", moved{later: 12, waste: -5}, true, false, SuitsLater},
		{"the next ones take sittings of their own", moved{later: 12, laterShared: 25, waste: -5}, true, false, SharesLater},
		{"cheaper nearer", moved{harm: 5, waste: -20}, true, false, NoReason},
		{"cheaper nearer, but full there", moved{harm: 5, waste: -20}, true, true, NoRoomNear},
	} {
		if got := c.moved.standing(c.early, c.full); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}
