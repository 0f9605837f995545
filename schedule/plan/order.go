package plan

import (
	"cmp"
	"math"
	"slices"

	"limekeep/schedule/record"
)

// Item is a part or consumable that turns of tasks use up, one a turn.
type Item struct {
	Name     string
	Tasks    []string // whose turns use it
	Count    float64  // in the cupboard today
	LeadDays float64  // from order to delivery
}

// Order is what has to be ordered, and by when.
type Order struct {
	Item  string
	Short float64     // how many are missing over the plan
	By    record.Date // last day to order so that it comes in time
	Need  record.Date // sitting at which it would be missing first
	Task  string      // whose turn that is
}

// Orders gives what the sittings of a plan will be short of, the most urgent
// first. Items must have been counted.
func (p Plan) Orders(items []Item) []Order {
	var orders []Order
	for _, item := range items {
		left := item.Count
		var order Order
		for _, s := range p.Sittings {
			for _, t := range s.Turns {
				if !slices.Contains(item.Tasks, t.Task) {
					continue
				}
				if left--; left < 0 && order.Need == 0 {
					order = Order{Item: item.Name, Need: s.Date(), By: s.Date() - record.Date(math.Ceil(item.LeadDays)), Task: t.Task}
				}
			}
		}
		if order.Need != 0 {
			order.Short = math.Ceil(-left)
			orders = append(orders, order)
		}
	}
	slices.SortFunc(orders, func(a, b Order) int {
		return cmp.Or(cmp.Compare(a.By, b.By), cmp.Compare(a.Item, b.Item))
	})
	return orders
}
