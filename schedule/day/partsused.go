package day

import "limekeep/schedule/record"

// PartUse is a part or consumable that a service used up.
type PartUse struct {
	Item   string
	On     record.Date
	Record int64 // of the service
}

// PartsUsed lists what services used up since a day that the place does not count in a
// cupboard of its own: whoever did them brought it.
func (d *Day) PartsUsed(since record.Date) []PartUse {
	var all []PartUse
	for _, item := range itemsOf(d.Duties) {
		item.tally(d.Book)
		if item.Counted {
			continue
		}
		for _, task := range item.Tasks {
			for _, s := range d.Book.Services(task) {
				if s.On >= since && !s.Body.Looked() {
					all = append(all, PartUse{Item: item.Item, On: s.On, Record: s.ID})
				}
			}
		}
	}
	return all
}

// Items lists the parts and consumables that the tasks of the place use up, by name.
func (d *Day) Items() []string {
	var names []string
	for _, item := range itemsOf(d.Duties) {
		names = append(names, item.Item)
	}
	return names
}
