package day

import (
	"testing"
	"time"

	"limekeep/schedule/record"
)

// Stock goes down with services after the count, up with deliveries, and not
// with services that were written down before it.
func TestStockGoesDownWithServices(t *testing.T) {
	day := record.NewDate(2026, time.March, 2)
	count := 5.0
	book := record.NewBook(day+30, []record.Entry{
		{ID: 1, Effective: day, Body: record.Service{Task: "m/soak"}},
		{ID: 2, Effective: day, Body: record.Stock{Item: "detergent", Count: &count}},
		{ID: 3, Effective: day, Body: record.Service{Task: "m/backflush"}},
		{ID: 4, Effective: day + 3, Body: record.Service{Task: "m/soak"}},
		{ID: 5, Effective: day + 3, Body: record.Service{Task: "m/descale"}},
		{ID: 6, Effective: day + 4, Body: record.Stock{Item: "detergent", Came: 2}},
		{ID: 7, Effective: day + 5, Body: record.Service{Task: "m/soak"}, Voided: 8},
	}, nil)
	item := StockInfo{Item: "detergent", Tasks: []string{"m/soak", "m/backflush"}, LeadDays: usualLeadDays}
	item.tally(book)
	if !item.Counted || item.Count != 5 || item.LeadDays != usualLeadDays || item.record != 6 {
		t.Errorf("%+v, want 5 left: 5 counted, 2 used, 2 came", item)
	}
	brush := StockInfo{Item: "brush", Tasks: []string{"m/soak"}}
	brush.tally(book)
	if brush.Counted {
		t.Error("a brush that nobody counted is counted")
	}
}
