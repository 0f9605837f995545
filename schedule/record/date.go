package record

import (
	"time"
)

// Date is a day of the calendar without a clock or a zone. The zero value means
// "no date"; 1 is the first of January of year 1 in the Gregorian calendar.
type Date int32

// dateEpoch is the day that Date counts from: its own number is 0.
var dateEpoch = time.Date(0, time.December, 31, 0, 0, 0, 0, time.UTC)

// epochSeconds is dateEpoch in Unix seconds, so that a date is one division.
var epochSeconds = dateEpoch.Unix()

const secondsPerDay = 86400

// NewDate returns the date of a year, month and day; days outside the month run
// on into its neighbours as they do in package time.
func NewDate(year int, month time.Month, day int) Date {
	t := time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	return Date((t.Unix() - epochSeconds) / secondsPerDay)
}

// DateOf returns the date that t shows in its own zone.
func DateOf(t time.Time) Date {
	return NewDate(t.Date())
}

// ParseDate reads a date written YYYY-MM-DD. Any other text is a *FieldError.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil || t.Year() < 1 {
		return 0, &FieldError{Field: "date", Value: text, Want: "a day written year-month-day, such as 2026-03-31"}
	}
	return DateOf(t), nil
}

// utc is the start of the date in UTC.
func (d Date) utc() time.Time {
	return time.Unix(epochSeconds+int64(d)*secondsPerDay, 0).UTC()
}

// In returns the instant at which the date begins in a zone: its first midnight
// where clocks go back over midnight, the first instant that bears the date
// where they go forward over it. A date that a zone left out when it changed
// sides of the date line begins with the next one.
func (d Date) In(zone *time.Location) time.Time {
	year, month, day := d.utc().Date()
	t := time.Date(year, month, day, 0, 0, 0, 0, zone)
	start, end := t.ZoneBounds()
	if DateOf(t) < d && !end.IsZero() {
		// The midnight does not exist, and package time took the offset in
		// force behind the gap, which shows an hour before it.
		return end
	}
	if !start.IsZero() {
		// Of a midnight that comes twice package time may have taken the second.
		_, before := start.Add(-time.Second).Zone()
		_, after := t.Zone()
		if first := t.Add(time.Duration(after-before) * time.Second); first.Before(start) && DateOf(first) == d {
			return first
		}
	}
	return t
}

// AddMonths returns the same day of the month n months on, or the last day of
// that month where it is shorter.
func (d Date) AddMonths(n int) Date {
	year, month, day := d.utc().Date()
	first := NewDate(year, month+time.Month(n), 1)
	last := NewDate(year, month+time.Month(n)+1, 0)
	return min(first+Date(day-1), last)
}

// MonthEnd returns the last day of the date's month.
func (d Date) MonthEnd() Date {
	year, month, _ := d.utc().Date()
	return NewDate(year, month+1, 0)
}

// Weekday returns the day of the week.
func (d Date) Weekday() time.Weekday { return d.utc().Weekday() }

// Weekend reports whether the date is a Saturday or a Sunday.
func (d Date) Weekend() bool {
	day := d.Weekday()
	return day == time.Saturday || day == time.Sunday
}

// IsZero reports whether no date was given.
func (d Date) IsZero() bool { return d == 0 }

// String writes the date YYYY-MM-DD, and "no date" for the zero value.
func (d Date) String() string {
	if d == 0 {
		return "no date"
	}
	return d.utc().Format(time.DateOnly)
}

// MarshalText writes the date YYYY-MM-DD, and nothing for the zero value.
func (d Date) MarshalText() ([]byte, error) {
	if d == 0 {
		return nil, nil
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads what MarshalText wrote.
func (d *Date) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = 0
		return nil
	}
	parsed, err := ParseDate(string(text))
	if err != nil {
		return err
	}
	*d = parsed
	return nil
}

// Long writes the date for people: "Sat 31 Mar 2026".
func (d Date) Long() string {
	if d == 0 {
		return "no date"
	}
	return d.utc().Format("Mon 2 Jan 2006")
}
