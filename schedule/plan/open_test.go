package plan

import (
	"testing"

	"limekeep/schedule/record"
)

// A visit is on the nearest day on which somebody is there, before or after a time away, and
// not before anybody could be called for it.
func TestVisitsAreOnOpenDays(t *testing.T) {
	today := record.NewDate(2026, 3, 2)
	r := &Request{Today: today, Until: today + 400, Closed: []Days{{today + 40, today + 60}, {today + 61, today + 70}, {today + 390, today + 500}}}
	for _, c := range []struct{ on, earliest, want record.Date }{
		{30, 21, 30},   // somebody is there
		{42, 21, 39},   // sooner is nearer
		{69, 21, 71},   // later is nearer, beyond both
		{42, 40, 71},   // nobody could come before
		{395, 21, 389}, // away until after the plan's end
		{395, 391, 395},
	} {
		if got := r.open(today+c.on, today+c.earliest) - today; got != c.want {
			t.Errorf("wanted in %d days, in %d at the earliest: in %d, want in %d", c.on, c.earliest, got, c.want)
		}
	}
}
