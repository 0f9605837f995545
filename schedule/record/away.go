package record

// Away says that nobody draws anything from From to To: a holiday, or a machine
// switched off for the summer. It may lie in the past or ahead; a day on which
// something was written down all the same counts as written. Its effective day
// is the one on which it became known, or From where that is earlier.
type Away struct {
	Machine string `json:"machine,omitempty"` // id; all machines of the place where empty
	From    Date   `json:"from"`
	To      Date   `json:"to,omitzero"`     // until further notice where zero
	Frost   bool   `json:"frost,omitempty"` // the place may freeze meanwhile
	Note    string `json:"note,omitempty"`
}

// Validate checks the days and the words.
func (a Away) Validate() error {
	return validateStay(a.Machine, a.From, a.To, a.Note)
}

// Covers reports whether the period holds a day of a machine.
func (a Away) Covers(machine string, d Date) bool {
	return stayCovers(a.Machine, a.From, a.To, machine, d)
}

// Guests says that more is drunk from From to To: so many shots a day on top of
// the habit. A day on which something was written down counts as written. Its
// effective day is the one on which it became known, or From where that is
// earlier.
type Guests struct {
	Machine string  `json:"machine,omitempty"` // id; all machines of the place where empty
	From    Date    `json:"from"`
	To      Date    `json:"to"`
	Shots   float64 `json:"shots"` // a day on top of the habit, above 0 to 3000
	Note    string  `json:"note,omitempty"`
}

// Validate checks the days, the shots and the words.
func (g Guests) Validate() error {
	return AllOf(
		refuse(g.To.IsZero(), "to", "", "the last day of the guests"),
		validateStay(g.Machine, g.From, g.To, g.Note),
		refuse(g.Shots == 0, "shots", "", "shots a day on top of the habit"),
		between("shots", g.Shots, 0, 3000, "shots a day"),
	)
}

// Covers reports whether the guests drink from a machine on a day.
func (g Guests) Covers(machine string, d Date) bool {
	return stayCovers(g.Machine, g.From, g.To, machine, d)
}

func validateStay(machine string, from, to Date, note string) error {
	return AllOf(
		where(machine != "", identifier("machine", machine)),
		refuse(from.IsZero(), "from", "", "the first day, such as 2026-07-01"),
		where(!to.IsZero(), notBefore("to", to, from, "a day not before the first, ")),
		text("note", note, 1000),
	)
}

func stayCovers(of string, from, to Date, machine string, d Date) bool {
	return (of == "" || of == machine) && from <= d && (to.IsZero() || d <= to)
}

func (Away) kind() Kind   { return KindAway }
func (Guests) kind() Kind { return KindGuests }
