package record

import (
	"fmt"
	"math/bits"
)

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
	// What its rows do not tell at all, so that the habit tells it.
	MilkUnsaid     bool `json:"milk_unsaid,omitempty"`      // which shots got steamed milk
	HotWaterUnsaid bool `json:"hot_water_unsaid,omitempty"` // what hot water was drawn
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
	Grind          string  // setting of the grinder, as its owner writes it
	Drink          string  // what it was made into
	Beans          string
	Note           string
}

// UseDay is the sum of the rows that one batch has of one machine and day.
type UseDay struct {
	Machine        string
	Date           Date
	Record         int64 // the batch; 0 where that is not known
	Shots          float64
	DosedShots     float64 // shots whose dose was written down
	DoseGrams      float64 // sum over those
	YieldShots     float64 // shots whose yield was written down
	YieldGrams     float64 // sum over those
	Steamed        float64
	HotWaterLitres float64
	HalfHours      HalfHours // in which there was a row with a time
}

// HalfHours are half hours of a day: bit 0 is the first after midnight, bit 47
// the last before the next.
type HalfHours uint64

// SessionGapHours is the pause after which a machine at home counts as switched
// off between two shots (assumption).
const SessionGapHours = 2

// Sessions returns the runs of half hours with pauses no longer than
// SessionGapHours in between, and the hours from the beginning of the first to
// the end of the last half hour of each, summed.
func (h HalfHours) Sessions() (sessions int, busyHours float64) {
	last := -1
	for rest := uint64(h) & (1<<48 - 1); rest != 0; rest &= rest - 1 {
		i := bits.TrailingZeros64(rest)
		if pause := i - last - 1; last < 0 || pause > 2*SessionGapHours {
			sessions++
		} else {
			busyHours += float64(pause) / 2
		}
		busyHours += 0.5
		last = i
	}
	return sessions, busyHours
}

// Validate checks the batch without its rows.
func (b UseBatch) Validate() error {
	return AllOf(
		identifier("machine", b.Machine),
		refuse(b.From.IsZero() || b.To < b.From, "to", b.To, "a day not before the first"),
		text("file", b.File, 400),
		text("note", b.Note, 1000),
	)
}

// Covers reports whether the batch says what was drawn on a day.
func (b UseBatch) Covers(d Date) bool { return b.From <= d && d <= b.To }

// ByHand tells an entry by hand from an imported file.
func (b UseBatch) ByHand() bool { return b.File == "" }

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
	// Written out, since a long log passes here row by row.
	if err := between("shots", r.Shots, 0, 3000, "shots"); err != nil {
		return err
	}
	if err := between("dose_g", r.DoseGrams, 0, 40, "g"); err != nil {
		return err
	}
	if err := between("yield_g", r.YieldGrams, 0, 500, "g"); err != nil {
		return err
	}
	if err := between("seconds", r.Seconds, 0, 300, "s"); err != nil {
		return err
	}
	if err := between("steamed", r.Steamed, 0, 3000, "shots"); err != nil {
		return err
	}
	if err := between("hot_water_l", r.HotWaterLitres, 0, 200, "litres"); err != nil {
		return err
	}
	if r.Steamed > r.Shots {
		return &FieldError{Field: "steamed", Value: fmt.Sprint(r.Steamed), Want: "no more than the shots themselves"}
	}
	return r.validateWords()
}

// validateWords checks what is written in words.
func (r UseRow) validateWords() error {
	for _, w := range [...]struct {
		field, value string
		most         int
	}{{"grind", r.Grind, 60}, {"drink", r.Drink, 60}, {"beans", r.Beans, 200}, {"note", r.Note, 1000}} {
		if w.value == "" {
			continue
		}
		if err := text(w.field, w.value, w.most); err != nil {
			return err
		}
	}
	return nil
}

func (UseBatch) kind() Kind { return KindUse }
