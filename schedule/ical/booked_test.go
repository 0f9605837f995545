package ical

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// A booked visit goes out as one event at its time, beside the place's other entries and
// in the calendar of visits alone, and both keep to the standards.
func TestBookedVisitAsEvent(t *testing.T) {
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Fatal(err)
	}
	a := invented(vienna)
	a.Grouped = true
	a.Booked = []agenda.BookedEntry{{
		UID: "kitchen.booked.9@limekeep", Summary: "Visit of Anna: Descale", Sequence: 2, Changed: time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC),
		Visit:    day.BookedInfo{Record: 11, On: record.NewDate(2026, 3, 29), Begins: time.Date(2026, 3, 29, 9, 30, 0, 0, vienna), Minutes: 90, Note: "key; at, the\nbaker's"},
		Cautions: []string{"Steam burns."}, Parts: []string{"citric acid"},
		Tasks:  []agenda.EntryTask{{UID: a.Entries[0].UID, Task: "machine/descale/steam", Title: "Descale", Name: "Machine", Says: "Soon."}},
		Alarms: []time.Duration{24 * time.Hour},
	}}
	a.Cancelled = append(a.Cancelled, agenda.CancelledEntry{UID: "kitchen.booked.4@limekeep", Summary: "Descale", Start: a.Booked[0].Visit.Begins, Group: true, Booked: true, Changed: a.Booked[0].Changed},
		agenda.CancelledEntry{UID: "kitchen.sitting.4@limekeep", Summary: "Descale", Start: a.Booked[0].Visit.Begins, Group: true, Changed: a.Booked[0].Changed})
	var own, visits bytes.Buffer
	if err := Encode(&own, a); err != nil {
		t.Fatal(err)
	}
	if err := EncodeVisits(&visits, "Round of Anna", []agenda.Agenda{a}); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"the place's own": own.Bytes(), "the visits": visits.Bytes()} {
		for _, f := range checkFeed(data) {
			t.Errorf("%s: %s", name, f)
		}
		text := strings.ReplaceAll(string(data), "\r\n ", "")
		for _, want := range []string{"DTSTART;TZID=Europe/Vienna:20260329T093000", "DTEND;TZID=Europe/Vienna:20260329T110000", "SEQUENCE:2", "URL:http://127.0.0.1:8321/visits/11", "WHAT CAN HURT\\n- Steam burns.", "kitchen.booked.4@limekeep"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: no %s in\n%s", name, want, text)
			}
		}
		if strings.Count(text, "UID:"+a.Entries[0].UID) != 0 {
			t.Errorf("%s: a task of the visit has an event of its own", name)
		}
	}
	text := visits.String()
	if n := strings.Count(text, "BEGIN:VEVENT"); n != 2 || strings.Contains(text, "kitchen.sitting.4") || !strings.Contains(text, "SUMMARY:Küche\\, oben: Visit of Anna") {
		t.Errorf("the calendar of visits has %d events:\n%s", n, text)
	}
	var none bytes.Buffer
	a.Booked, a.Cancelled = nil, nil
	if err := EncodeVisits(&none, "Round of Anna", []agenda.Agenda{a}); err != nil || len(checkFeed(none.Bytes())) > 0 {
		t.Errorf("without visits: %v, %v", err, checkFeed(none.Bytes()))
	}
}
