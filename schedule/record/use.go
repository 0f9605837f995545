package record

import "fmt"

// UseBatch is use that was written down at one time: a single entry, or a whole
// file. It says all that was drawn on the days from From to To, so that a day
// in between without a row was a day without a shot. Voiding it voids its rows.
type UseBatch struct {
	Machine string `json:"machine"`
	From    Date   `json:"from"`
	To      Date   `json:"to"`
	File    string `json:"file,omitempty"` // name of the imported file, empty for an entry by hand
	Rows    int    `json:"rows"`           // how many rows it brought
	Note    string `json:"note,omitempty"`
}

// UseRow is one line of use: a shot of a log, or the sum of a day.
type UseRow struct {
	Date           Date
	Minute         int     // of the day, 0 to 1439; -1 where only the day is known
	Ordinal        int     // which one among those of the same file and instant, from 0
	Shots          float64 // 0 to 3000
	DoseGrams      float64 // dry coffee a shot; 0 where not written down
	YieldGrams     float64 // drink a shot; 0 where not written down
	Seconds        float64 // of a shot; 0 where not written down
	Steamed        float64 // how many of the shots got steamed milk
	HotWaterLitres float64 // drawn from the steam boiler
}

// UseDay is the sum of the rows of one machine and day.
type UseDay struct {
	Machine        string
	Date           Date
	Shots          float64
	DosedShots     float64 // shots whose dose was written down
	DoseGrams      float64 // sum over those
	YieldShots     float64 // shots whose yield was written down
	YieldGrams     float64 // sum over those
	Steamed        float64
	HotWaterLitres float64
}

// Validate checks the batch without its rows.
func (b UseBatch) Validate() error {
	if err := identifier("machine", b.Machine); err != nil {
		return err
	}
	if b.From.IsZero() || b.To < b.From {
		return &FieldError{Field: "to", Value: b.To.String(), Want: "a day not before the first"}
	}
	if err := text("file", b.File, 400); err != nil {
		return err
	}
	return text("note", b.Note, 1000)
}

// Covers tells whether the batch says what was drawn on a day.
func (b UseBatch) Covers(d Date) bool { return b.From <= d && d <= b.To }

// Validate checks one row.
func (r UseRow) Validate() error {
	if r.Date.IsZero() {
		return &FieldError{Field: "date", Want: "the day, such as 2026-03-31"}
	}
	if r.Minute < -1 || r.Minute > 1439 {
		return &FieldError{Field: "time", Value: fmt.Sprint(r.Minute), Want: "a time of the day"}
	}
	if r.Ordinal < 0 {
		return &FieldError{Field: "ordinal", Value: fmt.Sprint(r.Ordinal), Want: "0 or more"}
	}
	checks := []struct {
		field     string
		value     float64
		low, high float64
		unit      string
	}{
		{"shots", r.Shots, 0, 3000, "shots"},
		{"dose_g", r.DoseGrams, 0, 40, "g"},
		{"yield_g", r.YieldGrams, 0, 500, "g"},
		{"seconds", r.Seconds, 0, 300, "s"},
		{"steamed", r.Steamed, 0, 3000, "shots"},
		{"hot_water_l", r.HotWaterLitres, 0, 200, "litres"},
	}
	for _, c := range checks {
		if err := between(c.field, c.value, c.low, c.high, c.unit); err != nil {
			return err
		}
	}
	if r.Steamed > r.Shots {
		return &FieldError{Field: "steamed", Value: fmt.Sprint(r.Steamed), Want: "no more than the shots themselves"}
	}
	return nil
}

func (UseBatch) kind() Kind { return KindUse }
