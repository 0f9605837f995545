package wear

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"limekeep/schedule/care"
)

// fared is how the windows of some households fared.
type fared struct {
	counted, held int
	logWidth      float64
	contest       Contest
}

func (f *fared) add(l lived) {
	if !l.whole {
		return
	}
	f.counted++
	f.logWidth += math.Log(l.width())
	if l.holds() {
		f.held++
	}
	f.contest.Add(l.early, l.late, l.crossed, l.past)
}

func (f *fared) share() float64 { return float64(f.held) / float64(f.counted) }
func (f *fared) width() float64 { return math.Exp(f.logWidth / float64(f.counted)) }

// chance is how far chance alone moves the share: two standard deviations, at four in five.
func (f *fared) chance() float64 { return 2 * math.Sqrt(0.8*0.2/float64(f.counted)) }

// Windows hold what they promise, 74 to 90 times in a hundred, whether all parts of a
// household are alike or half of the variance of their limits is each part's own: with
// nothing found and after two, five and ten findings, with a log and without, with
// absences of 14 to 200 days. What is learnt makes them narrower. And they score better
// than what anybody could make of the maker's interval or of past intervals, with the
// best factor either way that hindsight finds for each truth.
//
// Where each part is changed by sight, its past intervals are limits, read off as finely as
// somebody looks. On the very day they are the limits themselves: where parts are alike
// the window is narrowed to what is left unknown of use, and need only hold; where they
// are not it holds as promised. Where eyes are loose, how far the next one may differ from
// them nobody knows who does not know whether parts are alike; somebody who knew would
// have a factor of 1.4 for the one truth and of 2 for the other. Rivals have one factor
// there for both truths, the best that hindsight finds, and windows score better than
// each; they hold 74 to 90 times in a hundred of both truths together.
func TestWindowsHoldUnderBothTruths(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	households, tasks, counts := 40, []string{"backflush-detergent"}, []int{0, 5}
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		households, tasks, counts = 500, []string{"backflush-detergent", "group-gasket", "screen", burrs}, []int{0, 2, 5, 10}
		if n, err := strconv.Atoi(os.Getenv("LIMEKEEP_HOUSEHOLDS")); err == nil {
			households = n
		}
	}
	for _, task := range tasks {
		t.Run(task, func(t *testing.T) { testLimitsOf(t, catalogue, task, counts, households) })
	}
}

// onTheDayFactor is how far the late date is from the early one at the most, of parts that
// all lasted the same.
const onTheDayFactor = 1.7

// testLimitsOf tests the windows of one task.
func testLimitsOf(t *testing.T, catalogue *care.Catalogue, task string, counts []int, households int) {
	t.Helper()
	before := 0.0
	for _, findings := range counts {
		for _, when := range []manner{byClock, bySight, onTheDay} {
			if findings == 0 && when != byClock {
				continue // nothing was done yet
			}
			way := fmt.Sprintf("%s, %d findings, %s", task, findings, when)
			var both fared
			for _, own := range []float64{0, 0.5} {
				var f fared
				for seed := range households {
					l := live(t, catalogue, task, seed, own, findings, seed%2 == 1, when)
					f.add(l)
					both.add(l)
				}
				s := f.contest.Standing()
				t.Logf("%-45s %2.0f %% own: %2.0f %% of %3d hold, factor %.2f; %v", way, 100*own, 100*f.share(), f.counted, f.width(), s)
				truth := fmt.Sprintf("%s, %.0f %% of the variance each part's own", way, 100*own)
				unbeaten := s.Unbeaten()
				if when == onTheDay && (f.share() < 0.74-f.chance() || own > 0 && f.share() > 0.9+f.chance()) {
					t.Errorf("%s: %.0f %% hold", truth, 100*f.share())
				}
				if when == onTheDay && own == 0 && findings >= 5 && f.width() > onTheDayFactor {
					t.Errorf("%s: a factor of %.2f, though all parts lasted the same", truth, f.width())
				}
				if when != byClock {
					unbeaten = slices.DeleteFunc(unbeaten, func(r string) bool { return !strings.HasPrefix(r, "the maker") })
				} else if f.share() < 0.74-f.chance() || f.share() > 0.9+f.chance() {
					t.Errorf("%s: %.0f %% hold", truth, 100*f.share())
				}
				for _, rival := range unbeaten {
					t.Errorf("%s: not better than %s", truth, rival)
				}
				if findings == 0 {
					before = max(before, f.width())
				} else if f.width() > 0.9*before {
					t.Errorf("%s: a factor of %.2f, without any finding %.2f", truth, f.width(), before)
				}
			}
			if when == byClock {
				continue
			}
			s := both.contest.Standing()
			t.Logf("%-45s both truths: %2.0f %% of %3d hold; %v", way, 100*both.share(), both.counted, s)
			if when == bySight && (both.share() < 0.74-both.chance() || both.share() > 0.9+both.chance()) {
				t.Errorf("%s, both truths together: %.0f %% hold", way, 100*both.share())
			}
			for _, rival := range s.Unbeaten() {
				t.Errorf("%s, both truths together: not better than %s", way, rival)
			}
		}
	}
}
