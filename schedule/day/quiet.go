package day

import (
	"hash/fnv"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// daysOfAWeek is how often a place has a night of the usual effort.
const daysOfAWeek = 7

// effort is how many steps the search for a plan may take; 0 for the usual number. On a
// quiet night of many it is a fraction: the plan that stands stays unless another is
// clearly better, and whether there is one is looked for once a week, of each place on a
// weekday of its own.
func (d *Day) effort() int {
	if d.key.effort != 0 || !d.opener.Nightly || d.weekly() || !d.quiet() {
		return d.key.effort
	}
	return plan.QuietEffort
}

// weekly reports whether it is the weekday on which the place is planned with the usual
// effort.
func (d *Day) weekly() bool {
	h := fnv.New32a()
	h.Write([]byte(d.Place.ID))
	return (uint32(d.Today)+h.Sum32())%daysOfAWeek == 0
}

// quiet reports whether since the last publication nothing was written down but use, nor
// has a turn of it passed that was not done.
func (d *Day) quiet() bool {
	last, ok := d.Book.LastPublished()
	if !ok {
		return false
	}
	for _, e := range d.Book.Entries {
		if e.ID > last.ID && e.Kind() != record.KindUse {
			return false
		}
	}
	for _, days := range d.publishedDays() {
		if len(days) > 0 && days[0] < d.Today {
			return false
		}
	}
	return true
}
