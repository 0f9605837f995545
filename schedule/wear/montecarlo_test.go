package wear

import (
	"context"
	"fmt"
	"math"
	"os"
	"testing"

	"limekeep/schedule/record"
)

// pointErrors returns by how much the early, likely and late dates of a household's
// windows scatter from one set of worlds to another, as log standard deviations of
// their distance from the service before, over all duties that have such a date.
func pointErrors(t *testing.T, worlds, sets int) [3]float64 {
	t.Helper()
	k := newKitchen(t)
	k.worlds = worlds
	logs := map[string][3][]float64{}
	for i := range sets {
		h := k.household()
		h.Draws.Place, h.Memory = fmt.Sprintf("set %d", i), &Memory{}
		outcomes, err := Forecast(context.Background(), h)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range outcomes {
			at := logs[o.Duty.ID]
			for j, on := range []record.Date{o.Window.Early, o.Window.Likely, o.Window.Late} {
				if on > o.Since {
					at[j] = append(at[j], math.Log(float64(on-o.Since)))
				}
			}
			logs[o.Duty.ID] = at
		}
	}
	var squares, counted [3]float64
	for _, at := range logs {
		for j, x := range at {
			if len(x) < sets { // beyond the horizon in some of the sets
				continue
			}
			mean := 0.0
			for _, v := range x {
				mean += v / float64(len(x))
			}
			for _, v := range x {
				squares[j] += (v - mean) * (v - mean) / float64(len(x)-1)
			}
			counted[j]++
		}
	}
	var sd [3]float64
	for j := range sd {
		if counted[j] < 5 {
			t.Fatalf("only %v duties have such a date", counted[j])
		}
		sd[j] = math.Sqrt(squares[j] / counted[j])
	}
	return sd
}

// How many worlds it takes is a choice: what chance does to a date is small beside the
// width of its window, and falls with their number. The long form prints the table of
// DEVELOPERS.md.
func TestErrorOfChanceByWorlds(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	sizes, sets := []int{60, 500}, 6
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		sizes, sets = []int{60, 125, 250, 500, 1000, 2000}, 24
	}
	var first, last [3]float64
	for i, worlds := range sizes {
		last = pointErrors(t, worlds, sets)
		if i == 0 {
			first = last
		}
		t.Logf("%4d worlds: early %.3f, likely %.3f, late %.3f", worlds, last[0], last[1], last[2])
	}
	for j, name := range []string{"early", "likely", "late"} {
		if last[j] >= first[j] {
			t.Errorf("the %s date scatters by %.3f with %d worlds and by %.3f with %d", name, first[j], sizes[0], last[j], sizes[len(sizes)-1])
		}
	}
	// Of the way from the service before: small beside windows of a factor of two.
	for j, most := range []float64{0.05, 0.03, 0.05} {
		if last[j] > most {
			t.Errorf("%d worlds leave date %d to chance by %.3f", sizes[len(sizes)-1], j, last[j])
		}
	}
}
