package record

// Blocked is a run of days on which the owner wants no sitting. To open them
// again the record is voided.
type Blocked struct {
	From Date   `json:"from"`
	To   Date   `json:"to"` // the last day, included
	Note string `json:"note,omitempty"`
}

// mostBlockedDays keeps a slip of the year from blocking every plan.
const mostBlockedDays = 731

// Validate checks that the days are in order.
func (b Blocked) Validate() error {
	return AllOf(
		refuse(b.From <= 0, "from", "", "the first day to block"),
		notBefore("to", b.To, b.From, "a day not before the first, "),
		refuse(b.To-b.From >= mostBlockedDays, "to", b.To, "a day within two years of the first"),
		text("note", b.Note, 1000),
	)
}

func (Blocked) kind() Kind { return KindBlocked }

// Blocked returns the days blocked by the owner.
func (b *Book) Blocked() []Dated[Blocked] { return all(b, func(Blocked) bool { return true }) }
