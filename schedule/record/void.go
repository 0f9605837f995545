package record

// Void says that another record was wrong from the start. It counts as from the
// day of what it voids.
type Void struct {
	Record int64  `json:"record"`
	Why    string `json:"why,omitempty"`
}

// Validate checks the number.
func (v Void) Validate() error {
	return AllOf(
		refuse(v.Record <= 0, "record", "", "the number of a record, as history shows it"),
		text("why", v.Why, 1000),
	)
}

func (Void) kind() Kind { return KindVoid }
