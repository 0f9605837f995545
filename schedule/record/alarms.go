package record

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"sync"
	"time"
)

// Alarms says when a calendar's reminders go off: how long before an entry
// starts, such as 1d, 2h or 90m. An entry for the whole day starts at midnight,
// so that 6h is six in the evening before, and -9h nine in the morning.
type Alarms struct {
	Timed  []string `json:"timed"`   // of entries with a time
	AllDay []string `json:"all_day"` // of entries for a whole day
}

// Bounds of an alarm, common practice: more of them nobody hears.
const (
	mostAlarms      = 5
	mostAlarmBefore = 4 * 7 * 24 * time.Hour
	mostAlarmAfter  = 23 * time.Hour // still on the day
)

// alarmForm is how an alarm is written; made when the first is read.
var alarmForm = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(-?)([0-9]{1,5})([mhd])$`) })

// UsualAlarms are those of a place that says nothing: a day before a timed
// entry, to see that the parts are there and to leave the machine cold.
func UsualAlarms() Alarms { return Alarms{Timed: []string{"1d"}} }

// Validate checks every alarm.
func (a Alarms) Validate() error {
	if _, err := alarmTimes("timed", a.Timed, 0); err != nil {
		return err
	}
	_, err := alarmTimes("all_day", a.AllDay, mostAlarmAfter)
	return err
}

// TimedBefore returns how long before timed entries alarms go off, the longest
// first; the alarms passed Validate.
func (a Alarms) TimedBefore() []time.Duration {
	times, _ := alarmTimes("timed", a.Timed, 0)
	return times
}

// AllDayBefore returns how long before the midnight of whole days alarms go off,
// negative for after; the alarms passed Validate.
func (a Alarms) AllDayBefore() []time.Duration {
	times, _ := alarmTimes("all_day", a.AllDay, mostAlarmAfter)
	return times
}

func alarmTimes(field string, texts []string, mostAfter time.Duration) ([]time.Duration, error) {
	if len(texts) > mostAlarms {
		return nil, &FieldError{Field: field, Value: fmt.Sprint(texts), Want: fmt.Sprintf("at most %d alarms", mostAlarms)}
	}
	times := make([]time.Duration, 0, len(texts))
	for _, text := range texts {
		m := alarmForm().FindStringSubmatch(text)
		if m == nil {
			return nil, &FieldError{Field: field, Value: text, Want: "a time before the entry, such as 1d, 2h or 90m"}
		}
		n, _ := strconv.Atoi(m[2]) // five digits at most
		before := time.Duration(n) * map[string]time.Duration{"m": time.Minute, "h": time.Hour, "d": 24 * time.Hour}[m[3]]
		if m[1] != "" {
			before = -before
		}
		if before > mostAlarmBefore || before < -mostAfter {
			want := "a time of up to 28 days before the entry"
			if mostAfter > 0 {
				want += ", or up to -23h for an hour of the day itself"
			}
			return nil, &FieldError{Field: field, Value: text, Want: want}
		}
		if !slices.Contains(times, before) {
			times = append(times, before)
		}
	}
	slices.Sort(times)
	slices.Reverse(times)
	return times, nil
}
