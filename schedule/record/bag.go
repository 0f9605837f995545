package record

// Bag is coffee that was finished on the record's day. All of it went through
// the grinder, so that it says what days nobody wrote down came to.
type Bag struct {
	Grinder string  `json:"grinder"`
	Grams   float64 `json:"grams"`           // 1 to 30000
	Opened  Date    `json:"opened,omitzero"` // zero: right after the bag before it was finished
	Beans   string  `json:"beans,omitempty"`
	Note    string  `json:"note,omitempty"`
}

// Validate checks the figures and the words.
func (b Bag) Validate() error {
	return AllOf(
		identifier("grinder", b.Grinder),
		between("grams", b.Grams, 1, 30_000, "g"),
		name("beans", b.Beans, 200),
		text("note", b.Note, 1000),
	)
}

func (Bag) kind() Kind { return KindBag }
