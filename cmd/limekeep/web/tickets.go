package web

import (
	"crypto/rand"
	"slices"
	"sync"
)

// tickets sees to it that a filled-in form is taken once: each form carries a
// ticket, and a ticket that comes again leads to the record it made the first
// time. A double click would otherwise write a service or a test down twice,
// and two equal tests would count as two witnesses. What it remembers is lost
// when the server ends; a form sent again after that is taken as a new one.
type tickets struct {
	mu    sync.Mutex
	taken []usedTicket
}

type usedTicket struct {
	ticket string
	record int64
}

// mostTickets is how many used tickets are remembered: a busy day's forms many
// times over.
const mostTickets = 1000

func newTickets() *tickets { return &tickets{} }

// draw gives a ticket for a form.
func (t *tickets) draw() string { return rand.Text() }

// record gives what a ticket wrote; false for one that was not used yet.
func (t *tickets) record(ticket string) (int64, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.find(ticket)
}

// find looks a used ticket up; t is locked.
func (t *tickets) find(ticket string) (int64, bool) {
	i := slices.IndexFunc(t.taken, func(u usedTicket) bool { return u.ticket == ticket })
	if ticket == "" || i < 0 {
		return 0, false
	}
	return t.taken[i].record, true
}

// once writes unless the ticket was used already, and gives the record's
// number. A form without a ticket is always taken. Forms wait for each other,
// so that two clicks cannot both be the first.
func (t *tickets) once(ticket string, write func() (int64, error)) (int64, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if record, ok := t.find(ticket); ok {
		return record, nil
	}
	record, err := write()
	if err != nil || ticket == "" {
		return record, err
	}
	if len(t.taken) == mostTickets {
		t.taken = slices.Delete(t.taken, 0, 1)
	}
	t.taken = append(t.taken, usedTicket{ticket, record})
	return record, nil
}
