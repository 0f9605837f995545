package dav

import (
	"net/http"
	"strings"
	"testing"
)

// A filter of thousands of parts is refused before a to-do is held against it.
func TestHugeFilterIsRefused(t *testing.T) {
	k := newKit(t)
	rfcTodos(t, k)
	part := `<C:prop-filter name="SUMMARY"><C:text-match>x</C:text-match></C:prop-filter>`
	for n, status := range map[int]int{50: http.StatusMultiStatus, 9000: http.StatusForbidden} {
		body := `<?xml version="1.0"?><C:calendar-query xmlns:D="DAV:" xmlns:C="urn:ietf:params:xml:ns:caldav"><D:prop><D:getetag/></D:prop><C:filter><C:comp-filter name="VCALENDAR"><C:comp-filter name="VTODO">` +
			strings.Repeat(part, n) + `</C:comp-filter></C:comp-filter></C:filter></C:calendar-query>`
		w := k.ask("REPORT", atCollection, body, "Depth", "1", "Content-Type", "application/xml")
		if w.Code != status {
			t.Errorf("%d parts: status %d, want %d", n, w.Code, status)
		}
	}
}
