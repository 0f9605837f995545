package plan

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Where all tasks are one bundle and slots have room without end, its ways cost what
// trying everything finds.
func TestBundleAgainstTryingEverything(t *testing.T) {
	tried := 0
	for i := range 300 {
		r := smallCase(rand.New(rand.NewPCG(uint64(i), 5)))
		r.Tasks = r.Tasks[:min(3, len(r.Tasks))]
		r.Slots = r.Slots[:min(6, len(r.Slots))]
		r.Until = r.Slots[len(r.Slots)-1].Date() + 1
		for s := range r.Slots {
			r.Slots[s].Minutes = 1e6
		}
		m := newModel(r, nil)
		var tasks []int
		var spans [][]span
		for task := range m.chains {
			tasks, spans = append(tasks, task), append(spans, m.chains[task].whole())
		}
		b := newBundle(m, tasks, spans)
		if b == nil {
			continue
		}
		tried++
		open := func(done, _ int) float64 {
			sum := 0.0
			for k, members := range m.members {
				if slices.ContainsFunc(members, func(task int) bool { return done>>task&1 == 1 }) {
					sum += m.price[k]
				}
			}
			return sum
		}
		ways := make([][]int, len(tasks))
		got, want := b.walk(spans, func(_, _ int) float64 { return 0 }, open, ways), everything(m)
		if math.Abs(got-want) > 1e-6*(1+want) {
			t.Errorf("case %d: %d tasks, %d slots: %.6f, the least is %.6f", i, len(tasks), m.n, got, want)
		}
		d := newDraft(m)
		d.setAll(ways)
		if cost := d.cost(); math.Abs(cost-got) > 1e-6*(1+got) {
			t.Errorf("case %d: the ways cost %.6f, not %.6f", i, cost, got)
		}
	}
	if tried < 200 {
		t.Errorf("only %d of 300 cases are small enough for a bundle", tried)
	}
}
