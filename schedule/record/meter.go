package record

import (
	"fmt"
	"strconv"
)

// MeterReading is what the water meter of a line showed at the end of the
// record's day. Meters count up; the difference of two readings is what the
// line gave in between.
type MeterReading struct {
	Line   string  `json:"line"`
	Litres float64 `json:"litres"` // as shown, 0 to 1e9
	// NewStart is given where a new meter was fitted right after this reading of
	// the old one: what the new one showed then, litres.
	NewStart *float64 `json:"new_start,omitempty"`
	// RollsOverLitres is what the meter holds before it begins again at 0; 0
	// where that is not known. A reading below the one before it needs this, or
	// a new meter.
	RollsOverLitres float64 `json:"rolls_over_litres,omitempty"`
	Note            string  `json:"note,omitempty"`
}

// Validate checks the figures by themselves; how they stand to the readings
// around them is checked by MeteredLitres.
func (r MeterReading) Validate() error {
	const most = 1e9
	return AllOf(
		identifier("line", r.Line),
		between("litres", r.Litres, 0, most, "litres"),
		between("new_start", said(r.NewStart), 0, most, "litres"),
		optional("rolls_over_litres", r.RollsOverLitres, 1, 10*most, "litres"),
		where(r.RollsOverLitres != 0, refuse(r.Litres >= r.RollsOverLitres, "litres", r.Litres,
			fmt.Sprintf("less than the %v litres at which the meter begins again", r.RollsOverLitres))),
		text("note", r.Note, 1000),
	)
}

// MeteredLitres returns what a line drew between two readings, the later one
// after a change of meter or a roll-over where the records say so. A later
// reading below the earlier one without either is a *FieldError.
func MeteredLitres(earlier, later MeterReading) (float64, error) {
	start := earlier.Litres
	if earlier.NewStart != nil {
		start = *earlier.NewStart
	}
	if later.Litres >= start {
		return later.Litres - start, nil
	}
	rolls := later.RollsOverLitres
	if rolls == 0 {
		rolls = earlier.RollsOverLitres
	}
	if rolls <= start {
		return 0, &FieldError{Field: "litres", Value: plainLitres(later.Litres),
			Want: fmt.Sprintf("at least the %s of the reading before, or say at what figure the meter begins again, or what a new meter showed when it was fitted", plainLitres(start))}
	}
	return later.Litres + rolls - start, nil
}

// plainLitres writes litres without an exponent.
func plainLitres(litres float64) string { return strconv.FormatFloat(litres, 'f', -1, 64) }

// MostMeteredLitresPerDay is what the pipe of a household or a bar can let through in a day at
// the very most, 70 litres a minute (assumption): a reading that says more is mistyped.
const MostMeteredLitresPerDay = 100_000

func (MeterReading) kind() Kind { return KindMeterReading }
