package dav

import (
	"fmt"
	"net/http"
	"strings"
	"time"
)

// freeBusy answers free-busy-query (RFC 4791, 7.10). To-dos keep nobody busy, only
// events do, so that the whole of the time asked about is free.
func (h *handler) freeBusy(w http.ResponseWriter, s *rendered, body *node) error {
	var asked []*node
	for _, c := range body.children {
		if c.is(nsCalDAV, "time-range") {
			asked = append(asked, c)
		}
	}
	if len(asked) != 1 {
		return &failure{http.StatusBadRequest, "A free-busy-query holds one time-range (RFC 4791, 9.11)."}
	}
	r, err := timeRangeOf(asked[0])
	if err != nil {
		return err
	}
	var b strings.Builder
	b.WriteString("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//limekeep//upkeep//EN\r\nBEGIN:VFREEBUSY\r\n")
	fmt.Fprintf(&b, "UID:%s.freebusy@limekeep\r\n", h.User)
	line := func(name string, at time.Time) { b.WriteString(utcLine(name, at, instant{})) }
	line("DTSTAMP", s.modified())
	if !r.start.IsZero() {
		line("DTSTART", r.start)
	}
	if !r.end.IsZero() {
		line("DTEND", r.end)
	}
	b.WriteString("END:VFREEBUSY\r\nEND:VCALENDAR\r\n")
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8; component=VFREEBUSY")
	_, _ = w.Write([]byte(b.String())) // an app that hung up needs no answer
	return nil
}

// modified returns when an object of the collection last changed; without one, the
// beginning of time as computers count it.
func (s *rendered) modified() time.Time {
	last := time.Unix(0, 0)
	for i := range s.Objects {
		if at := s.Objects[i].Modified; at.After(last) {
			last = at
		}
	}
	return last
}
