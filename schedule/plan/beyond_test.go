package plan

import (
	"strings"
	"testing"
)

// What is fixed on a day beyond the plan leaves the plan of everything else as it would be
// without it, and is no reason for what cannot be met unless its day is too late.
func TestFixedBeyondThePlan(t *testing.T) {
	request := func() *Request {
		r := &Request{Today: testToday, Prices: UsualPrices(), Slots: weekly(8, 90)}
		r.Until = r.Slots[7].Date() + 1
		r.Tasks = []Task{invented("flush", 20, 30, 0.3, 10), invented("gasket", 30, 300, 0.3, 200)}
		return r
	}
	alone := request()
	alone.Tasks = alone.Tasks[:1]
	want := made(alone).Days("flush")

	r := request()
	r.Tasks[1].On = r.Until + 20
	p := made(r)
	if days := p.Days("flush"); len(days) != len(want) || len(p.Days("gasket")) != 0 || len(p.CannotMeet) != 0 {
		t.Errorf("flush stands on %v, without what is fixed on %v; the gasket on %v; cannot be met: %+v", days, want, p.Days("gasket"), p.CannotMeet)
	}
	r.Tasks[1].On = r.Tasks[1].Late + 1
	if p := made(r); len(p.CannotMeet) != 1 || p.CannotMeet[0].Task != "gasket" || !strings.Contains(p.CannotMeet[0].Reason, "after its late date") {
		t.Errorf("fixed after its late date, %v: %+v", r.Tasks[1].Late, p.CannotMeet)
	}
}
