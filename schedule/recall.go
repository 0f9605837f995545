package schedule

import (
	"slices"
	"sync"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// recall keeps the last outlook, so that the questions of one page, or of one
// minute, cost one forecast. It holds for as long as the records, the owner's own
// calendar and the settings are the same.
type recall struct {
	mu   sync.Mutex
	of   outlookKey
	last *outlook
}

// outlookKey is all that an outlook follows from, but for the owner's own
// calendar.
type outlookKey struct {
	records                Records
	version                int64 // of the records
	place                  string
	today                  record.Date
	worlds, effort, months int
	catalogue              *care.Catalogue
}

// get gives the outlook that was kept; nil where it is of something else. The
// caller may change the answer itself, but nothing that it points to.
func (r *recall) get(of outlookKey, own []plan.Busy) *outlook {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.last == nil || r.of != of || !slices.EqualFunc(r.last.own, own, sameBusy) {
		return nil
	}
	again := *r.last
	return &again
}

func (r *recall) keep(of outlookKey, o *outlook) {
	r.mu.Lock()
	defer r.mu.Unlock()
	kept := *o
	r.of, r.last = of, &kept
}

func sameBusy(a, b plan.Busy) bool { return a.From.Equal(b.From) && a.To.Equal(b.To) }
