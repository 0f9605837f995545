package web

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"net/url"
	"slices"
	"sync"
)

// tickets sees to it that a filled-in form is taken once: each form carries a
// ticket, and a form that comes again leads to the record it made the first
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

// ticketOf gives what a filled-in form is known by: its ticket together with all
// that was filled in, since somebody who goes back and changes the day means
// another service. It is "" for a form without a ticket.
func ticketOf(filled url.Values) string {
	if filled.Get("ticket") == "" {
		return ""
	}
	sum := sha256.Sum256([]byte(filled.Encode()))
	return hex.EncodeToString(sum[:])
}

// again gives the ticket of a form that was not taken and is shown again: the one
// it came with, so that the same form sent from either page is the same.
func (t *tickets) again(filled url.Values) string {
	if ticket := filled.Get("ticket"); ticket != "" {
		return ticket
	}
	return t.draw()
}

// keepForm lets a browser keep the page of a form, ticket and all, for its Back
// button: a history may show what it has kept without asking (RFC 9111, section
// 6). Otherwise it would fetch the page anew, put what was filled in beside another
// ticket, and the form sent again would be taken twice. An ordinary visit asks each
// time (section 5.2.2.4).
func keepForm(w http.ResponseWriter) { w.Header().Set("Cache-Control", "private, no-cache") }

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
