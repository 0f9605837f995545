package record

// Stock is what the owner says of a part or consumable in the cupboard: how
// many there are, how many came, or how long an order takes. What one turn of a
// task uses up counts as one.
type Stock struct {
	Item     string   `json:"item"`
	Count    *float64 `json:"count,omitempty"`     // counted: so many there are
	Came     float64  `json:"came,omitempty"`      // a delivery: so many more
	LeadDays *float64 `json:"lead_days,omitempty"` // days from order to delivery
}

// Validate checks that the record says one thing, within reason.
func (s Stock) Validate() error {
	return AllOf(
		refuse(s.Item == "", "item", "", "a part or consumable, as the list of stock names them"),
		name("item", s.Item, 200),
		refuse(!justOne(s.Count != nil, s.Came != 0, s.LeadDays != nil), "stock", "", "one of a count, a delivery or a lead time"),
		between("count", said(s.Count), 0, 10000, ""),
		optional("count", s.Came, 0.01, 10000, ""),
		between("days", said(s.LeadDays), 0, 365, "days"),
	)
}

func (Stock) kind() Kind { return KindStock }

// Stock returns all that was said of an item, oldest first.
func (b *Book) Stock(item string) []Dated[Stock] {
	return all(b, func(s Stock) bool { return s.Item == item })
}
