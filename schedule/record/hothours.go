package record

// HotHours says how long a machine was hot on the record's day, as something that sees
// it draw power tells. Of a day with several the last counts.
type HotHours struct {
	Machine string  `json:"machine"`
	Hours   float64 `json:"hours"` // at temperature, 0 to 24
	Note    string  `json:"note,omitempty"`
}

// Validate checks the hours and the words.
func (h HotHours) Validate() error {
	return AllOf(
		identifier("machine", h.Machine),
		between("hours", h.Hours, 0, 24, "hours a day"),
		text("note", h.Note, 1000),
	)
}

func (HotHours) kind() Kind { return KindHotHours }

// HotHours returns what was written down of how long a machine was hot, oldest first.
func (b *Book) HotHours(machine string) []Dated[HotHours] {
	return all(b, func(h HotHours) bool { return h.Machine == machine })
}
