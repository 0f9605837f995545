package plan

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

// What will be missing is ordered so that it comes in time, the most urgent
// first; what lasts is not.
func TestOrders(t *testing.T) {
	day := record.NewDate(2028, 2, 5)
	var p Plan
	for i := range 6 { // every second week, over a leap day
		p.Sittings = append(p.Sittings, Sitting{
			Slot:  Slot{Start: (day + record.Date(14*i)).In(time.UTC).Add(10 * time.Hour)},
			Turns: []Turn{{Task: "m/backflush", Number: i + 1}, {Task: "m/soak", Number: i + 1}},
		})
	}
	p.Sittings[5].Turns = append(p.Sittings[5].Turns, Turn{Task: "m/gasket", Number: 1})
	got := p.Orders([]Item{
		{Name: "detergent", Tasks: []string{"m/backflush", "m/soak"}, Count: 5, LeadDays: 10},
		{Name: "gasket", Tasks: []string{"m/gasket"}, Count: 0, LeadDays: 21.5},
		{Name: "brush", Tasks: []string{"m/gasket"}, Count: 1, LeadDays: 100},
	})
	want := []Order{
		// Two a sitting: the fifth is used in the third sitting, which needs a sixth.
		{Item: "detergent", Short: 7, Need: record.NewDate(2028, 3, 4), By: record.NewDate(2028, 2, 23), Task: "m/soak"},
		{Item: "gasket", Short: 1, Need: record.NewDate(2028, 4, 15), By: record.NewDate(2028, 3, 24), Task: "m/gasket"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
