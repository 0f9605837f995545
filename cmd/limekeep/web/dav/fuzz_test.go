package dav

import (
	"encoding/xml"
	"net/http"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"limekeep/schedule/sample/bound"
)

// Whatever is sent to be stored, the answer is the app's fault at worst, and
// nothing changes where it is refused.
func FuzzPut(f *testing.F) {
	for _, body := range []string{
		"", vtodo("1"), viennaZone, vtodo("1", "DTSTART;TZID=Europe/Vienna:20260101T090000", "DURATION:P1D", "RRULE:FREQ=MONTHLY;BYDAY=-1SU,2MO;BYSETPOS=1;INTERVAL=3", "RDATE;VALUE=PERIOD:20260105T090000Z/PT1H"), vtodo("1", "SUMMARY;X=1"), vtodo("1", "SUMMARY;X=\"1"), vtodo("1", " folded"),
		vtodo("1", "DUE;VALUE=DATE:20250101", "RRULE:FREQ=DAILY;UNTIL=20260101", "EXDATE:20260101,20260102"), vtodo("1", "BEGIN:VALARM", "TRIGGER:-P1D", "END:VALARM"),
		"BEGIN:VCALENDAR\r\n \r\nEND:VCALENDAR", "BEGIN;X=:VCALENDAR\nEND:VCALENDAR\r", "\r\n BEGIN:VCALENDAR",
	} {
		f.Add([]byte(body), "", "")
		f.Add([]byte(body), `"x"`, `W/"y", *`)
	}
	f.Add([]byte(vtodo("old")), "", "*")
	f.Fuzz(func(t *testing.T, body []byte, match, noneMatch string) {
		defer bound.Memory(t)()
		k := newKit(t)
		k.memory.keep(t, "a.ics", vtodo("old"))
		before := k.memory.snapshot
		w := k.ask("PUT", atCollection+"a.ics", string(body), "Content-Type", "text/calendar", "If-Match", match, "If-None-Match", noneMatch)
		if w.Code >= 500 {
			t.Fatalf("status %d: %s", w.Code, w.Body)
		}
		if changed := k.memory.snapshot != before; changed != (w.Code < 300) {
			t.Fatalf("status %d, changed: %v", w.Code, changed)
		}
		// What was stored can be asked about and given out again.
		if w.Code < 300 {
			m := k.read(k.ask("REPORT", atCollection, davXML("C:calendar-query", `<D:prop><C:calendar-data><C:expand start="20260101T000000Z" end="20270101T000000Z"/></C:calendar-data></D:prop><C:filter><C:comp-filter name="VCALENDAR"><C:comp-filter name="VTODO"><C:time-range start="20260101T000000Z"/></C:comp-filter></C:comp-filter></C:filter>`), "Depth", "1"))
			if len(m.Responses) > 1 {
				t.Fatalf("one object is told of %d times", len(m.Responses))
			}
		}
	})
}

// Whatever report is asked for, the answer is well-formed and no fault here.
func FuzzReport(f *testing.F) {
	for _, body := range []string{
		queryXML(`<C:time-range start="20260101T000000Z"/>`), queryXML(`<C:comp-filter name="VALARM"><C:time-range start="20260101T000000Z" end="20260102T000000Z"/></C:comp-filter>`),
		queryXML(`<C:prop-filter name="DUE"><C:param-filter name="TZID"><C:text-match collation="i;octet" negate-condition="yes">x</C:text-match></C:param-filter></C:prop-filter>`),
		davXML("C:calendar-query", `<D:allprop/><C:filter><C:comp-filter name="VCALENDAR"/></C:filter><C:timezone>`+viennaZone+`</C:timezone>`),
		davXML("C:calendar-multiget", `<D:prop><C:calendar-data><C:comp name="VCALENDAR"><C:prop name="VERSION" novalue="yes"/><C:comp name="VTODO"/></C:comp></C:calendar-data></D:prop><D:href>`+atCollection+`a.ics</D:href><D:href>%2e</D:href>`),
		davXML("C:calendar-query", `<D:prop><C:calendar-data><C:expand start="20260101T000000Z" end="20270101T000000Z"/></C:calendar-data></D:prop><C:filter><C:comp-filter name="VCALENDAR"/></C:filter>`),
		syncXML("", 1), syncXML("urn:limekeep:sync:e%3A1+%C3%A4:1:-1:a", 0),
	} {
		f.Add(body, "0")
		f.Add(body, "1")
	}
	f.Fuzz(func(t *testing.T, body, depth string) { wellAnswered(t, "REPORT", body, depth) })
}

// Whatever properties are asked for, the answer is well-formed and no fault here.
func FuzzPropfind(f *testing.F) {
	for _, body := range []string{
		"", davXML("D:propfind", "<D:allprop/><D:include><D:owner/></D:include>"), davXML("D:propfind", "<D:propname/>"),
		davXML("D:propfind", `<D:prop><D:getetag/><x:y xmlns:x="&quot;&lt;"/><z xmlns=""/></D:prop>`), "<!DOCTYPE a><a/>", "<a:b/>", "<a xmlns='DAV:'>&lt;<!-- --><![CDATA[]]></a>",
	} {
		f.Add(body, "0")
		f.Add(body, "1")
	}
	f.Fuzz(func(t *testing.T, body, depth string) { wellAnswered(t, "PROPFIND", body, depth) })
}

func wellAnswered(t *testing.T, method, body, depth string) {
	defer bound.Memory(t)()
	k := newKit(t)
	k.memory.keep(t, "a.ics", vtodo("1", "DUE;TZID=Europe/Vienna:20260310T120000", "RRULE:FREQ=WEEKLY", "BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER:-PT1H", "REPEAT:2", "DURATION:PT5M", "END:VALARM"))
	k.memory.keep(t, "b.ics", vtodo("2", "SUMMARY:<&>\\, ☕"))
	before := k.memory.snapshot
	w := k.ask(method, atCollection, body, "Depth", depth)
	if w.Code >= 500 || w.Code < 200 || k.memory.snapshot != before {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if w.Code == http.StatusMultiStatus {
		k.read(w)
		if _, err := readXML(w.Body); err != nil { // which is strict with prefixes
			t.Fatal(err)
		}
	} else if w.Header().Get("Content-Type") == "application/xml; charset=utf-8" {
		if err := xml.Unmarshal(w.Body.Bytes(), &element{}); err != nil {
			t.Fatal(err)
		}
	}
}

// Whatever rule a to-do has, it can be asked about, and expanded, in good time.
func FuzzRule(f *testing.F) {
	for _, rule := range []string{
		"FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO,-1FR;WKST=SU;COUNT=5", "FREQ=MONTHLY;BYMONTHDAY=-31;BYSETPOS=-1,2;INTERVAL=7", "FREQ=YEARLY;BYWEEKNO=53,-53;BYDAY=SA",
		"FREQ=YEARLY;BYYEARDAY=366;BYEASTER=-366", "FREQ=DAILY;BYHOUR=0,1,2;BYMINUTE=59;BYSECOND=0,59;BYSETPOS=366", "FREQ=SECONDLY", "FREQ=DAILY;UNTIL=00010101T000000Z", "FREQ=WEEKLY;INTERVAL=999;BYMONTH=2;BYMONTHDAY=30",
	} {
		f.Add(rule, "20260302T080000Z", "20260401")
		f.Add(rule, "20100228", "20300401T000000")
	}
	f.Fuzz(func(t *testing.T, rule, start, date string) {
		defer bound.Memory(t)()
		cal := ical.NewCalendar()
		todo := ical.NewComponent(ical.CompToDo)
		todo.Props[ical.PropDateTimeStart] = []ical.Prop{{Name: ical.PropDateTimeStart, Value: start}}
		todo.Props[ical.PropRecurrenceRule] = []ical.Prop{{Name: ical.PropRecurrenceRule, Value: rule}}
		todo.Props[ical.PropExceptionDates] = []ical.Prop{{Name: ical.PropExceptionDates, Value: date}}
		todo.Props[ical.PropRecurrenceDates] = []ical.Prop{{Name: ical.PropRecurrenceDates, Value: date}}
		cal.Children = append(cal.Children, todo)
		from := time.Date(2026, time.March, 1, 0, 0, 0, 0, time.UTC)
		for _, r := range []timeRange{{start: from}, {end: from}, {start: from, end: from.AddDate(1, 0, 0)}} {
			for _, read := range todosOf(cal, &zones{}) {
				read.any(t.Context(), time.UTC, &r, 0, r.overlaps)
			}
		}
	})
}
