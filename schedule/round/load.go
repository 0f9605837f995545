package round

import (
	"cmp"
	"math"
	"slices"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// VanPlace is the place that what is said of the van's stock is written down of: no place
// that is set up can be called so.
const VanPlace = "~van"

// Van is what is known of the van's stock.
type Van struct {
	Items []VanItem // by name
}

// VanOf reads the van's stock: what was counted last and what came since, less what
// services used up at places that do not count it themselves.
func VanOf(book *record.Book, items []string, used []day.PartUse) Van {
	var v Van
	for _, item := range items {
		x := VanItem{Item: item, LeadDays: usualLeadDays}
		var from record.Dated[record.Stock]
		for _, s := range book.Stock(item) {
			switch {
			case s.Body.LeadDays != nil:
				x.LeadDays = *s.Body.LeadDays
			case s.Body.Count != nil:
				x.Counted, x.Count, from = true, *s.Body.Count, s
			default:
				if !x.Counted {
					x.Counted, from = true, s
				}
				x.Count += s.Body.Came
			}
		}
		if x.Counted {
			for _, u := range used {
				if u.Item == item && (u.On > from.On || u.On == from.On && u.Record > from.ID) {
					x.Count--
				}
			}
			x.Count = max(0, x.Count)
		}
		v.Items = append(v.Items, x)
	}
	slices.SortFunc(v.Items, func(a, b VanItem) int { return cmp.Compare(a.Item, b.Item) })
	return v
}

// VanItem is a part or consumable in the van.
type VanItem struct {
	Item     string  `json:"item"`
	Counted  bool    `json:"counted"`
	Count    float64 `json:"count"`
	LeadDays float64 `json:"lead_days"`
}

// usualLeadDays is how long an order takes where nobody said. Assumption.
const usualLeadDays = 7

// Load is what a round uses up: what to put into the van, day by day, and what to order.
type Load struct {
	Items []LoadItem `json:"items"` // by name
	Kits  []Kit      `json:"kits"`  // by day
}

// LoadItem is a part or consumable over the whole round.
type LoadItem struct {
	Item    string       `json:"item"`
	Needed  float64      `json:"needed"`
	First   record.Date  `json:"first"` // day on which it is needed first
	Counted bool         `json:"counted"`
	Van     float64      `json:"in_the_van"`
	Short   float64      `json:"short"`    // of what was counted, how many are missing
	OrderBy *record.Date `json:"order_by"` // null where it lasts, or was never counted
	Late    bool         `json:"late"`     // what is ordered today does not come in time
}

// Kit is what a day's visits use up.
type Kit struct {
	On    record.Date `json:"on"`
	Items []KitItem   `json:"items"`
	Tools []string    `json:"tools"`
}

// KitItem is so many of a part for one day.
type KitItem struct {
	Item   string   `json:"item"`
	Needed float64  `json:"needed"`
	Places []string `json:"places"` // names
}

// loadOf adds up what the visits of some days use up. What a place has counted in its own
// cupboard is taken from there first.
func loadOf(days []DayInfo, outlooks []day.Outlook, van Van) Load {
	there := map[[2]string]float64{} // of a place, by item
	today := record.Date(math.MaxInt32)
	for _, o := range outlooks {
		today = min(today, o.Today)
		for _, s := range o.Stock {
			if s.Counted {
				there[[2]string{o.Place, s.Item}] = s.Count
			}
		}
	}
	load := Load{Items: []LoadItem{}, Kits: []Kit{}}
	for _, d := range days {
		kit := Kit{On: d.On, Items: []KitItem{}, Tools: []string{}}
		for _, v := range d.Visits {
			kit.Tools = day.Merge(kit.Tools, v.Tools)
			for _, part := range v.Parts {
				if own := [2]string{v.Place, part}; there[own] >= 1 {
					there[own]--
					continue
				}
				i := slices.IndexFunc(kit.Items, func(k KitItem) bool { return k.Item == part })
				if i < 0 {
					i, kit.Items = len(kit.Items), append(kit.Items, KitItem{Item: part})
				}
				kit.Items[i].Needed++
				kit.Items[i].Places = day.Merge(kit.Items[i].Places, []string{v.Name})
				k := slices.IndexFunc(load.Items, func(l LoadItem) bool { return l.Item == part })
				if k < 0 {
					k, load.Items = len(load.Items), append(load.Items, LoadItem{Item: part, First: d.On})
				}
				load.Items[k].Needed++
				load.orderIfShort(k, van, d.On, today)
			}
		}
		slices.SortFunc(kit.Items, func(a, b KitItem) int { return cmp.Compare(a.Item, b.Item) })
		slices.Sort(kit.Tools)
		load.Kits = append(load.Kits, kit)
	}
	slices.SortFunc(load.Items, func(a, b LoadItem) int { return cmp.Compare(a.Item, b.Item) })
	return load
}

// orderIfShort says by when an item is to be ordered once the van would be without it.
func (l *Load) orderIfShort(k int, van Van, on, today record.Date) {
	item := &l.Items[k]
	i := slices.IndexFunc(van.Items, func(v VanItem) bool { return v.Item == item.Item })
	if i < 0 || !van.Items[i].Counted {
		return
	}
	v := van.Items[i]
	item.Counted, item.Van = true, v.Count
	if item.Needed <= v.Count {
		return
	}
	item.Short = math.Ceil(item.Needed - v.Count)
	if item.OrderBy == nil {
		by := on - record.Date(math.Ceil(v.LeadDays))
		item.Late = by < today
		item.OrderBy = &by
	}
}
