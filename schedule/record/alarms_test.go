package record

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func TestAlarms(t *testing.T) {
	for _, c := range []struct {
		name          string
		alarms        Alarms
		timed, allDay []time.Duration
		field         string // that is wrong; empty for none
	}{
		{"none", Alarms{}, []time.Duration{}, []time.Duration{}, ""},
		{"the usual", UsualAlarms(), []time.Duration{24 * time.Hour}, []time.Duration{}, ""},
		{"in order, each once", Alarms{Timed: []string{"2h", "1d", "90m", "24h"}, AllDay: []string{"-9h", "6h", "0m"}},
			[]time.Duration{24 * time.Hour, 2 * time.Hour, 90 * time.Minute}, []time.Duration{6 * time.Hour, 0, -9 * time.Hour}, ""},
		{"the longest", Alarms{Timed: []string{"28d"}, AllDay: []string{"-23h"}}, []time.Duration{28 * 24 * time.Hour}, []time.Duration{-23 * time.Hour}, ""},
		{"too long", Alarms{Timed: []string{"29d"}}, nil, nil, "timed"},
		{"after it began", Alarms{Timed: []string{"-1m"}}, nil, nil, "timed"},
		{"the day after", Alarms{AllDay: []string{"-24h"}}, nil, nil, "all_day"},
		{"no unit", Alarms{Timed: []string{"30"}}, nil, nil, "timed"},
		{"seconds", Alarms{AllDay: []string{"30s"}}, nil, nil, "all_day"},
		{"overflow", Alarms{Timed: []string{"999999999999d"}}, nil, nil, "timed"},
		{"too many", Alarms{Timed: []string{"1m", "2m", "3m", "4m", "5m", "6m"}}, nil, nil, "timed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := c.alarms.Validate()
			var wrong *FieldError
			if errors.As(err, &wrong) != (c.field != "") || wrong != nil && wrong.Field != c.field {
				t.Fatalf("got %v, want a mistake in %q", err, c.field)
			}
			if c.field != "" {
				return
			}
			if diff := cmp.Diff(c.timed, c.alarms.TimedBefore()); diff != "" {
				t.Error(diff)
			}
			if diff := cmp.Diff(c.allDay, c.alarms.AllDayBefore()); diff != "" {
				t.Error(diff)
			}
		})
	}
	place := Place{ID: "home", Zone: "Europe/Vienna", Alarms: &Alarms{AllDay: []string{"x"}}}
	if err := place.Validate(); err == nil || err.Error() == "" {
		t.Error("a place with a wrong alarm is valid")
	}
}
