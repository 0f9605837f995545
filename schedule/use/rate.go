package use

import "limekeep/schedule/record"

// Rate is the shots to be expected by day of the week.
type Rate struct {
	ByWeekday  [7]float64 // shots a day, Sunday first
	LoggedDays float64    // days of the last eight weeks that were written down
}

// rateWindowDays is how far back the log's days are counted.
const rateWindowDays = 56

// Of returns the shots to be expected on a date.
func (r Rate) Of(d record.Date) float64 { return r.ByWeekday[d.Weekday()] }

// Weekly returns the shots to be expected in a week.
func (r Rate) Weekly() float64 {
	sum := 0.0
	for _, shots := range r.ByWeekday {
		sum += shots
	}
	return sum
}

// habitRate is what a habit says by itself.
func habitRate(d drinks) Rate { return Rate{ByWeekday: d.byWeekday()} }
