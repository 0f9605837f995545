package day

import (
	"strings"
	"testing"
	"time"

	"limekeep/schedule/care"
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

// What a turn uses up is stock; a tool, or what a household has, is none, and each
// goes by one name.
func TestStockHoldsNoTools(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	tools := map[string]string{}
	for _, task := range catalogue.Tasks {
		for _, tool := range task.Tools {
			tools[tool] = task.ID
		}
	}
	for _, task := range catalogue.Tasks {
		for _, part := range task.Parts {
			if other, ok := tools[part]; ok {
				t.Errorf("%s is used up by %s and a tool of %s", part, task.ID, other)
			}
			for _, word := range []string{"jug", "clock", "brush", "cloth", "lamp", "key", "driver", "basket", "gauge", "nothing", "hand", "where"} {
				if strings.Contains(part, word) {
					t.Errorf("%s: %q is no stock", task.ID, part)
				}
			}
		}
		for _, tool := range task.Tools {
			if strings.HasPrefix(tool, "nothing") || strings.HasPrefix(tool, "clock") && tool != "clock" {
				t.Errorf("%s: tool %q", task.ID, tool)
			}
		}
	}
}
