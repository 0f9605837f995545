package dav

import (
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/emersion/go-ical"
	"github.com/google/go-cmp/cmp"
)

// data asks for the calendar data of all objects in one way.
func (k *kit) data(how string) []string {
	k.Helper()
	body := davXML("C:calendar-query", `<D:prop>`+how+`</D:prop><C:filter><C:comp-filter name="VCALENDAR"/></C:filter>`)
	var all []string
	for _, r := range k.read(k.ask("REPORT", atCollection, body, "Depth", "1")).Responses {
		e, status := r.prop("calendar-data")
		if status != "HTTP/1.1 200 OK" {
			k.Errorf("%s: %s", r.Href, status)
		}
		all = append(all, e.Text)
	}
	return all
}

// RFC 4791, 9.6: calendar data whole and in part, in the lines as they stand.
func TestCalendarData(t *testing.T) {
	k := newKit(t)
	whole := vcalendar("X-WR-CALNAME:x", "BEGIN:VTIMEZONE", "TZID:Z", "BEGIN:STANDARD", "DTSTART:19700101T000000", "TZOFFSETFROM:+0100", "TZOFFSETTO:+0100", "END:STANDARD", "END:VTIMEZONE",
		"BEGIN:VTODO", "UID:1", "DTSTAMP:20260301T120000Z", "SUMMARY;LANGUAGE=de:Käse ]]> <b> & so", "DESCRIPTION:one ", "  two", "BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER:PT0S", "END:VALARM", "END:VTODO")
	k.memory.keep(t, "a.ics", whole)
	tests := []struct {
		name, how string
		want      string
	}{
		{"whole", `<C:calendar-data/>`, whole},
		{"whole, by type", `<C:calendar-data content-type="text/calendar" version="2.0"/>`, whole},
		{"everything by name", `<C:calendar-data><C:comp name="VCALENDAR"><C:allprop/><C:allcomp/></C:comp></C:calendar-data>`, whole},
		{"as 7.8.1 asks", `<C:calendar-data><C:comp name="VCALENDAR"><C:prop name="VERSION"/><C:comp name="VTODO"><C:prop name="SUMMARY"/><C:prop name="UID"/></C:comp><C:comp name="VTIMEZONE"/></C:comp></C:calendar-data>`,
			"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nBEGIN:VTIMEZONE\r\nTZID:Z\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\nBEGIN:VTODO\r\nUID:1\r\nSUMMARY;LANGUAGE=de:Käse ]]> <b> & so\r\nEND:VTODO\r\nEND:VCALENDAR\r\n"},
		{"alarms only", `<C:calendar-data><C:comp name="VCALENDAR"><C:prop name="PRODID"/><C:comp name="VTODO"><C:prop name="UID"/><C:comp name="VALARM"><C:prop name="ACTION"/></C:comp></C:comp></C:comp></C:calendar-data>`,
			"BEGIN:VCALENDAR\r\nPRODID:-//Example Corp.//CalDAV Client//EN\r\nBEGIN:VTODO\r\nUID:1\r\nBEGIN:VALARM\r\nACTION:AUDIO\r\nEND:VALARM\r\nEND:VTODO\r\nEND:VCALENDAR\r\n"},
		{"folded lines, and one without its value", `<C:calendar-data><C:comp name="VCALENDAR"><C:prop name="version"/><C:comp name="vtodo"><C:prop name="description"/><C:prop name="SUMMARY" novalue="yes"/></C:comp></C:comp></C:calendar-data>`,
			"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nBEGIN:VTODO\r\nSUMMARY;LANGUAGE=de:\r\nDESCRIPTION:one \r\n  two\r\nEND:VTODO\r\nEND:VCALENDAR\r\n"},
		{"components with their properties", `<C:calendar-data><C:comp name="VCALENDAR"><C:comp name="VTIMEZONE"><C:prop name="TZID"/></C:comp></C:comp></C:calendar-data>`,
			"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Example Corp.//CalDAV Client//EN\r\nX-WR-CALNAME:x\r\nBEGIN:VTIMEZONE\r\nTZID:Z\r\nEND:VTIMEZONE\r\nEND:VCALENDAR\r\n"},
		{"nothing to expand", `<C:calendar-data><C:expand start="20260101T000000Z" end="20270101T000000Z"/></C:calendar-data>`, whole},
	}
	for _, test := range tests {
		if diff := cmp.Diff([]string{test.want}, k.data(test.how)); diff != "" {
			t.Errorf("%s: %s", test.name, diff)
		}
	}
}

// RFC 4791, 9.6.5: a to-do that recurs as its occurrences in a time range, in
// UTC, without rules and zones.
func TestExpand(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a.ics", vcalendar(
		"BEGIN:VTIMEZONE", "TZID:Europe/Vienna", "BEGIN:STANDARD", "DTSTART:19700101T000000", "TZOFFSETFROM:+0100", "TZOFFSETTO:+0100", "END:STANDARD", "END:VTIMEZONE",
		"BEGIN:VTODO", "UID:1", "DTSTAMP:20260301T120000Z", "DTSTART;TZID=Europe/Vienna:20260302T090000", "DUE;TZID=Europe/Vienna:20260302T100000", "RRULE:FREQ=WEEKLY", "EXDATE;TZID=Europe/Vienna:20260316T090000", "SUMMARY:a", "BEGIN:VALARM", "TRIGGER:PT0S", "ACTION:AUDIO", "END:VALARM", "END:VTODO",
		"BEGIN:VTODO", "UID:1", "DTSTAMP:20260301T120000Z", "RECURRENCE-ID;TZID=Europe/Vienna:20260323T090000", "DTSTART:20260324T080000Z", "SUMMARY:b", "END:VTODO"))
	want := vcalendar(
		"BEGIN:VTODO", "UID:1", "DTSTAMP:20260301T120000Z", "DTSTART:20260309T080000Z", "DUE:20260309T090000Z", "SUMMARY:a", "BEGIN:VALARM", "TRIGGER:PT0S", "ACTION:AUDIO", "END:VALARM", "RECURRENCE-ID:20260309T080000Z", "END:VTODO",
		"BEGIN:VTODO", "UID:1", "DTSTAMP:20260301T120000Z", "DTSTART:20260330T070000Z", "DUE:20260330T080000Z", "SUMMARY:a", "BEGIN:VALARM", "TRIGGER:PT0S", "ACTION:AUDIO", "END:VALARM", "RECURRENCE-ID:20260330T070000Z", "END:VTODO",
		"BEGIN:VTODO", "UID:1", "DTSTAMP:20260301T120000Z", "DTSTART:20260324T080000Z", "SUMMARY:b", "RECURRENCE-ID:20260323T080000Z", "END:VTODO")
	got := k.data(`<C:calendar-data><C:expand start="20260303T000000Z" end="20260401T000000Z"/></C:calendar-data>`)
	if diff := cmp.Diff([]string{want}, got); diff != "" {
		t.Error(diff)
	}
	dates := newKit(t)
	dates.memory.keep(t, "a.ics", vtodo("1", "DUE;VALUE=DATE:20260302", "RRULE:FREQ=DAILY;COUNT=3"))
	got = dates.data(`<C:calendar-data><C:expand start="20260303T120000Z" end="20260401T000000Z"/></C:calendar-data>`)
	want = vcalendar("BEGIN:VTODO", "UID:1", "DTSTAMP:20260301T120000Z", "DUE;VALUE=DATE:20260304", "RECURRENCE-ID;VALUE=DATE:20260304", "END:VTODO")
	if diff := cmp.Diff([]string{want}, got); diff != "" {
		t.Error(diff)
	}
	for _, half := range []string{`start="20260303T120000Z"`, `end="20260303T120000Z"`, ``} {
		body := davXML("C:calendar-query", `<D:prop><C:calendar-data><C:expand `+half+`/></C:calendar-data></D:prop><C:filter><C:comp-filter name="VCALENDAR"/></C:filter>`)
		k.expect(http.StatusForbidden, "REPORT", atCollection, body)
	}
	endless := newKit(t)
	line := vtodo("1", "DTSTART:20260302T080000Z", "RRULE:FREQ=SECONDLY")
	endless.memory.keep(t, "a.ics", line)
	if got := endless.data(`<C:calendar-data><C:expand start="20260303T000000Z" end="20260401T000000Z"/></C:calendar-data>`); !slices.Equal(got, []string{line}) {
		t.Errorf("a rule that is not followed: %q", got)
	}
}

// RFC 4791, 7.9: objects by their addresses, in whatever form an app has them.
func TestMultiget(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a & ü.ics", vtodo("1"))
	k.memory.keep(t, "b.ics", vtodo("2"))
	body := davXML("C:calendar-multiget", `<D:prop><D:getetag/><C:calendar-data/><D:nothing/></D:prop>
		<D:href>`+atCollection+`a%20%26%20%c3%bc.ics</D:href>
		<D:href>http://example.com`+atCollection+`b.ics</D:href>
		<D:href> `+atCollection+`%62.ics
		</D:href>
		<D:href>`+atCollection+`gone.ics</D:href>
		<D:href>/elsewhere/a.ics</D:href>
		<D:href>`+atCollection+`</D:href>`)
	m := k.read(k.ask("REPORT", atCollection, body, "Depth", "0", "Content-Type", "text/xml"))
	var got []string
	for _, r := range m.Responses {
		if e, status := r.prop("calendar-data"); status == "HTTP/1.1 200 OK" && strings.HasPrefix(e.Text, "BEGIN:VCALENDAR\r\n") {
			got = append(got, r.Href+" whole")
			continue
		}
		got = append(got, r.Href+" "+r.Status)
	}
	want := []string{
		atCollection + "a%20&%20%C3%BC.ics whole", atCollection + "b.ics whole", atCollection + "gone.ics HTTP/1.1 404 Not Found",
		"/elsewhere/a.ics HTTP/1.1 404 Not Found", atCollection + " HTTP/1.1 404 Not Found",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	k.expect(http.StatusBadRequest, "REPORT", atCollection, davXML("C:calendar-multiget", `<D:prop><D:getetag/></D:prop>`))
	k.expect(http.StatusBadRequest, "REPORT", atCollection, davXML("C:calendar-multiget", `<D:href>%zz</D:href>`))
}

// RFC 3253, 3.6: reports there are none of are refused by name.
func TestUnknownReports(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a.ics", vtodo("1"))
	for path, body := range map[string]string{
		atCollection:           davXML("D:version-tree", ``),
		atCollection + "a.ics": davXML("D:sync-collection", `<D:sync-token/>`),
		atPrincipal:            davXML("D:expand-property", ``),
		atHome:                 davXML("C:calendar-query", `<C:filter><C:comp-filter name="VCALENDAR"/></C:filter>`),
	} {
		if got := k.condition(k.expect(http.StatusForbidden, "REPORT", path, body)); got != "DAV: supported-report" {
			t.Errorf("%s: %s", path, got)
		}
	}
	k.expect(http.StatusBadRequest, "REPORT", atCollection, "")
	k.expect(http.StatusNotFound, "REPORT", atCollection+"b.ics", davXML("C:calendar-query", ""))
	k.expect(http.StatusNotFound, "REPORT", "/dav/pantry/", davXML("C:calendar-query", ""))
}

// RFC 4791, 7.10: free and busy times of a collection of to-dos, which keep nobody
// busy, are one VFREEBUSY without a FREEBUSY.
func TestFreeBusyQuery(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a.ics", vtodo("1", "DTSTART:20260304T100000Z", "DUE:20260304T120000Z"))
	w := k.expect(http.StatusOK, "REPORT", atCollection, davXML("C:free-busy-query", `<C:time-range start="20260303T120000Z" end="20260310T120000Z"/>`), "Depth", "1")
	if got := w.Header().Get("Content-Type"); !strings.HasPrefix(got, "text/calendar") {
		t.Errorf("it came as %q", got)
	}
	cal, err := ical.NewDecoder(w.Body).Decode()
	if err != nil {
		t.Fatal(err)
	}
	if len(cal.Children) != 1 || cal.Children[0].Name != ical.CompFreeBusy {
		t.Fatalf("it holds %+v", cal.Children)
	}
	if err := ical.NewEncoder(io.Discard).Encode(cal); err != nil { // which looks for what there must be
		t.Error(err)
	}
	props := cal.Children[0].Props
	for name, want := range map[string]string{"DTSTART": "20260303T120000Z", "DTEND": "20260310T120000Z", "DTSTAMP": "20260302T090100Z"} {
		if p := props.Get(name); p == nil || p.Value != want {
			t.Errorf("%s is %v, want %s", name, p, want)
		}
	}
	if busy := props.Values("FREEBUSY"); len(busy) > 0 {
		t.Errorf("busy at %v", busy)
	}
	k.expect(http.StatusBadRequest, "REPORT", atCollection, davXML("C:free-busy-query", ``))
	k.expect(http.StatusBadRequest, "REPORT", atCollection, davXML("C:free-busy-query", strings.Repeat(`<C:time-range start="20260303T120000Z"/>`, 2)))
	k.expect(http.StatusForbidden, "REPORT", atCollection+"a.ics", davXML("C:free-busy-query", `<C:time-range start="20260303T120000Z"/>`))
}
