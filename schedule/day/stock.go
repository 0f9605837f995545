package day

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// StockInfo is a part or consumable that tasks use up.
type StockInfo struct {
	Item     string       `json:"item"`
	Tasks    []string     `json:"tasks"`
	Counted  bool         `json:"counted"` // only what was counted goes down and is ordered
	Count    float64      `json:"count"`   // in the cupboard today, by the last count, what came and what was used since
	LeadDays float64      `json:"lead_days"`
	Turns    int          `json:"planned_turns"` // planned turns that need it
	Need     *record.Date `json:"needed"`        // the first of them; null for none
	OrderBy  *record.Date `json:"order_by"`      // null where it lasts
	Short    float64      `json:"short"`         // how many will be missing

	record int64 // last one that said something of it
}

// OrderInfo is what has to be ordered, and by when.
type OrderInfo struct {
	Item   string      `json:"item"`
	Short  float64     `json:"short"`
	By     record.Date `json:"order_by"`
	Need   record.Date `json:"needed"`
	Task   string      `json:"task"`
	Record int64       `json:"record"` // last record that said something of the item
	Says   string      `json:"says"`
}

// usualLeadDays is how long an order takes where nobody said. Assumption.
const usualLeadDays = 7

// Stock lists what the tasks of a place use up, what is there of it and by when
// more must be ordered.
func (f *Forecast) Stock() []StockInfo {
	duties := make([]care.Duty, len(f.outcomes))
	for i := range f.outcomes {
		duties[i] = f.outcomes[i].Duty
	}
	all := itemsOf(duties)
	for i := range all {
		item := &all[i]
		item.tally(f.Day.Book)
		for _, task := range item.Tasks {
			for _, day := range f.plan.Days(task) {
				item.Turns++
				if item.Need == nil || day < *item.Need {
					item.Need = &day
				}
			}
		}
	}
	for _, order := range f.plan.Orders(countedItems(all)) {
		i := slices.IndexFunc(all, func(s StockInfo) bool { return s.Item == order.Item })
		all[i].OrderBy, all[i].Short = &order.By, order.Short
	}
	return all
}

// Orders lists what has to be ordered, the most urgent first.
func (f *Forecast) Orders() []OrderInfo {
	stock := f.Stock()
	var orders []OrderInfo
	for _, order := range f.plan.Orders(countedItems(stock)) {
		i := slices.IndexFunc(stock, func(s StockInfo) bool { return s.Item == order.Item })
		orders = append(orders, OrderInfo{
			Item: order.Item, Short: order.Short, By: order.By, Need: order.Need, Task: order.Task, Record: stock[i].record,
			Says: fmt.Sprintf("There is no %s left for %s on %s, and an order takes %s days.", order.Item, order.Task, order.Need.Long(), figure.Rough(stock[i].LeadDays)),
		})
	}
	return orders
}

func countedItems(stock []StockInfo) []plan.Item {
	var items []plan.Item
	for _, s := range stock {
		if s.Counted {
			items = append(items, plan.Item{Name: s.Item, Tasks: s.Tasks, Count: s.Count, LeadDays: s.LeadDays})
		}
	}
	return items
}

// itemsOf lists what duties use up, by name.
func itemsOf(duties []care.Duty) []StockInfo {
	var all []StockInfo
	for _, duty := range duties {
		for _, name := range partsOf(duty) {
			i := slices.IndexFunc(all, func(s StockInfo) bool { return s.Item == name })
			if i < 0 {
				i, all = len(all), append(all, StockInfo{Item: name, LeadDays: usualLeadDays})
			}
			all[i].Tasks = append(all[i].Tasks, duty.ID)
		}
	}
	slices.SortFunc(all, func(a, b StockInfo) int { return strings.Compare(a.Item, b.Item) })
	return all
}

// partsOf lists what a turn of a duty uses up. Cartridges differ from holder to
// holder.
func partsOf(duty care.Duty) []string {
	parts := slices.Clone(duty.Task.Parts)
	for i, part := range parts {
		if part == "cartridge" {
			parts[i] = fmt.Sprintf("cartridge for %s/%s", duty.Equipment.ID, duty.Part)
		}
	}
	return parts
}

// tally fills in what is there of an item: what was counted last, what came
// since, less one for every service since that used it. Services of the day of
// the count lie before it where they were written down before it.
func (item *StockInfo) tally(book *record.Book) {
	said := book.Stock(item.Item)
	from := record.Dated[record.Stock]{}
	for _, s := range said {
		item.record = max(item.record, s.ID)
		switch {
		case s.Body.LeadDays != nil:
			item.LeadDays = *s.Body.LeadDays
		case s.Body.Count != nil:
			item.Counted, item.Count, from = true, *s.Body.Count, s
		default:
			if !item.Counted {
				item.Counted, from = true, s
			}
			item.Count += s.Body.Came
		}
	}
	if !item.Counted {
		return
	}
	for _, task := range item.Tasks {
		for _, service := range book.Services(task) {
			if service.Body.Looked() {
				continue
			}
			if service.On > from.On || service.On == from.On && service.ID > from.ID {
				item.Count--
			}
		}
	}
	item.Count = max(0, item.Count)
}

// Item finds an item that tasks need by its name, or by a part of it that no other
// has. A name that stands for none, or for several, is an error that matches
// record.ErrUnknown.
func (d *Day) Item(name string) (string, error) {
	var found, all []string
	for _, s := range itemsOf(d.Duties) {
		if s.Item == name {
			return name, nil
		}
		all = append(all, s.Item)
		if name != "" && strings.Contains(strings.ToLower(s.Item), strings.ToLower(name)) {
			found = append(found, s.Item)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return "", &record.UnknownError{What: "item", Name: name, Known: all}
	}
	return "", &record.UnknownError{What: "item", Name: name, Known: found, Many: true}
}
