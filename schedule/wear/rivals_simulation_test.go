package wear

import (
	"os"
	"strings"
	"testing"

	"limekeep/schedule/care"
)

// Windows of parts score better than what anybody could make of the maker's interval
// or of past intervals, be the parts of a household alike or each with a limit of its
// own.
//
// Where each part was changed exactly when its time had come, past intervals are
// limits themselves, read off as finely as somebody looks, and the mean of some of
// them, with the best factor found from the truth, comes out ahead of the windows:
// "worn" is taken to mean anything from half a limit to five quarters, since nobody
// says whether a service was done for what was seen or because it was planned. That
// is shown, and held against the maker's interval alone.
func TestWindowsBeatWhatAnybodyCouldMake(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	households, tasks, counts := 40, []string{"backflush-detergent"}, []int{0, 2}
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		households, tasks, counts = 500, []string{"backflush-detergent", "group-gasket", "screen"}, []int{0, 2, 5, 10}
	}
	for _, task := range tasks {
		for _, findings := range counts {
			for _, own := range []float64{0, 0.5} {
				for _, sight := range []bool{byClock, bySight} {
					if findings == 0 && sight {
						continue // nothing was done yet
					}
					var c Contest
					for seed := range households {
						if l := live(t, catalogue, task, seed, own, findings, seed%2 == 1, sight); l.whole {
							c.Add(l.early, l.late, l.crossed, l.past)
						}
					}
					way := map[bool]string{byClock: "by the clock", bySight: "by sight"}[sight]
					s := c.Standing()
					t.Logf("%-19s %2d findings, %2.0f %% own, %-12s %v", task, findings, 100*own, way, s)
					for _, rival := range s.Unbeaten() {
						if sight && !strings.HasPrefix(rival, "the maker") {
							continue
						}
						t.Errorf("%s, %d findings, %.0f %% of the variance each part's own, done %s: not better than %s", task, findings, 100*own, way, rival)
					}
				}
			}
		}
	}
}
