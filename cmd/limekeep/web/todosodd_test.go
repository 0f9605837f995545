package web_test

import (
	"net/http"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/record"
)

// oddLines are what an app, or somebody who means harm, might put into a to-do.
var oddLines = []string{
	"STATUS:COMPLETED", "STATUS:NEEDS-ACTION", "STATUS:", "PERCENT-COMPLETE:100", "PERCENT-COMPLETE:-7", "COMPLETED:20260302T120000Z", "COMPLETED:99999999T999999Z",
	"DUE;VALUE=DATE:00000000", "DUE;TZID=Europe/Vienna:20260329T023000", "DUE;TZID=\"/no/where\":20260329T023000", "RRULE:FREQ=DAILY;INTERVAL=99999999999999999999", "RRULE:;;=;",
	"RECURRENCE-ID:20260301", "SUMMARY:\x00\x01\x02", "SUMMARY:" + strings.Repeat("long ", 2000), "CATEGORIES:,,,\\", "UID:", "UID:another", "0;0=", "X;Y=\"", ":", ";", "BEGIN:VALARM", "END:VALARM",
	"BEGIN:VTODO", "END:VTODO", "BEGIN:VEVENT\r\nUID:1\r\nEND:VEVENT", "METHOD:REPLY", "\xff\xfe", "DTSTART;VALUE=DATE:20260301", " folded", "SEQUENCE:-1",
}

// Whatever is sent for a to-do, the answer is no fault of the server's; what is
// refused writes nothing down, and no to-do is written down as done twice.
func TestOddTodos(t *testing.T) {
	p := newPhone(t, func(s *web.Server) { s.TakeTodos = true })
	text, _ := p.get(tips)
	lines := strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n")
	statuses := map[int]int{}
	rapid.Check(t, func(r *rapid.T) {
		body := append([]string(nil), lines...)
		for range rapid.IntRange(1, 4).Draw(r, "changes") {
			at := rapid.IntRange(0, len(body)-1).Draw(r, "at")
			switch rapid.IntRange(0, 3).Draw(r, "change") {
			case 0:
				at = min(max(at, 5), len(body)) // within the to-do
				body = append(body[:at:at], append([]string{rapid.SampledFrom(oddLines).Draw(r, "line")}, body[at:]...)...)
			case 1:
				body = append(body[:at:at], body[at+1:]...)
			case 2:
				body[at] = rapid.SampledFrom(oddLines).Draw(r, "line")
			default:
				body[at] += rapid.StringN(0, 5, -1).Draw(r, "tail")
			}
			if len(body) == 0 {
				break
			}
		}
		name := rapid.SampledFrom([]string{tips, "new.ics", "ä b.ics"}).Draw(r, "name")
		before := len(p.records.Entries)
		answer, said := p.send(http.MethodPut, name, strings.Join(body, "\r\n")+"\r\n", "Content-Type", "text/calendar")
		statuses[answer.StatusCode]++
		if answer.StatusCode >= 500 {
			r.Fatalf("status %d: %s", answer.StatusCode, said)
		}
		if wrote := len(p.records.Entries) - before; answer.StatusCode >= 400 && wrote > 0 {
			r.Fatalf("status %d, and %d records were written", answer.StatusCode, wrote)
		}
		if answer, said := p.send("PROPFIND", "", "", "Depth", "1"); answer.StatusCode != http.StatusMultiStatus {
			r.Fatalf("the collection answers with status %d: %s", answer.StatusCode, said)
		}
	})
	if statuses[http.StatusNoContent] == 0 || statuses[http.StatusForbidden] == 0 {
		t.Errorf("nothing was taken, or nothing refused: %v", statuses)
	}
	// Of the one entry no more services than one hold.
	hold := 0
	for _, e := range p.records.Entries {
		switch b := e.Body.(type) {
		case record.Service:
			if b.Task == tipsTask && e.Source == "task app: phone" {
				hold++
			}
		case record.Void:
			hold--
		}
	}
	if hold < 0 || hold > 1 {
		t.Errorf("%d services of one entry hold", hold)
	}
}
