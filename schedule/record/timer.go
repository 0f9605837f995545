package record

import (
	"math/bits"
	"time"

	"github.com/robfig/cron/v3"
)

// Timer switches a machine on and off by itself. Both are cron expressions of
// five fields, minute hour day month weekday, on the place's clock.
type Timer struct {
	On  string `json:"on"`
	Off string `json:"off"`
}

// Switching is a cron expression that was read: the minutes of the day at which
// something is switched, and the days on which it is.
type Switching struct {
	spec    *cron.SpecSchedule
	minutes []int
}

// Validate checks both expressions.
func (t Timer) Validate() error {
	_, _, err := t.Read()
	return err
}

// Read reads both expressions.
func (t Timer) Read() (on, off Switching, err error) {
	if on, err = readSwitching("on", t.On); err != nil {
		return on, off, err
	}
	off, err = readSwitching("off", t.Off)
	return on, off, err
}

func readSwitching(field, expression string) (Switching, error) {
	schedule, err := PreferredTime{When: expression}.Schedule()
	if err != nil {
		return Switching{}, &FieldError{Field: field, Value: expression, Want: `five cron fields, minute hour day month weekday, such as "30 6 * * MON-FRI"`}
	}
	spec := schedule.(*cron.SpecSchedule) // the parser of five plain fields knows no other
	s := Switching{spec: spec}
	for hour := range 24 {
		if spec.Hour&(1<<hour) == 0 {
			continue
		}
		for minute := spec.Minute &^ starBit; minute != 0; minute &= minute - 1 {
			s.minutes = append(s.minutes, 60*hour+bits.TrailingZeros64(minute))
		}
	}
	return s, nil
}

// starBit is how the cron package marks a field that was written as a star.
const starBit = 1 << 63

// Minutes returns the minutes of a date at which it switches, in order; none on a
// date it leaves alone. An hour that the clocks skip or repeat is not looked at.
func (s Switching) Minutes(d Date) []int {
	_, month, day := d.utc().Date()
	if s.spec.Month&(1<<month) == 0 || !s.onDay(day, d.Weekday()) {
		return nil
	}
	return s.minutes
}

// onDay follows cron(8): where both the day of the month and the weekday are
// restricted, either will do.
func (s Switching) onDay(day int, weekday time.Weekday) bool {
	byMonth := s.spec.Dom&(1<<day) != 0
	byWeek := s.spec.Dow&(1<<weekday) != 0
	if s.spec.Dom&starBit != 0 || s.spec.Dow&starBit != 0 {
		return byMonth && byWeek
	}
	return byMonth || byWeek
}
