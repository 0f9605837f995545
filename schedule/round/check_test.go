package round

import (
	"strings"
	"testing"
)

// What no forecast can mend is told before any is worked out.
func TestCheckBeforeForecasts(t *testing.T) {
	s := &Settings{From: "workshop", Legs: []Leg{{From: "workshop", To: "blue", Minutes: 12}}}
	for _, c := range []struct {
		places []string
		weeks  int
		want   string
	}{
		{[]string{"blue"}, 1, ""},
		{[]string{"blue"}, 5, "1 to 4"},
		{[]string{"blue", "red"}, 1, "a way from workshop to red"},
	} {
		err := s.Check(c.places, c.weeks)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, %d weeks: %v, want %q", c.places, c.weeks, err, c.want)
		}
	}
}
