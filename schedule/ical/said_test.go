package ical

import (
	"bytes"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"
	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
	"limekeep/schedule/sample/bound"
)

// sent wraps properties of a VTODO as an app sends it.
func sent(t testing.TB, lines ...string) *goical.Calendar {
	t.Helper()
	text := "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//test//EN\r\nBEGIN:VTODO\r\nUID:one\r\nDTSTAMP:20260302T120000Z\r\n" +
		strings.Join(lines, "\r\n") + "\r\nEND:VTODO\r\nEND:VCALENDAR\r\n"
	cal, err := goical.NewDecoder(strings.NewReader(text)).Decode()
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return cal
}

// RFC 5545 has three ways to say that a to-do is done: STATUS (3.8.1.11),
// PERCENT-COMPLETE (3.8.1.8) and COMPLETED (3.8.2.1). Apps send any of them, and
// some leave one behind when it is open again.
func TestWhatAppsSayOfBeingDone(t *testing.T) {
	const at = "COMPLETED:20260301T101500Z"
	for _, c := range []struct {
		lines      []string
		done, open bool
	}{
		{nil, false, true},
		{[]string{"STATUS:NEEDS-ACTION"}, false, true},
		{[]string{"STATUS:NEEDS-ACTION", "PERCENT-COMPLETE:0"}, false, true},
		{[]string{"STATUS:IN-PROCESS", "PERCENT-COMPLETE:60"}, false, true},
		{[]string{"STATUS:COMPLETED"}, true, false},
		{[]string{"STATUS:completed"}, true, false},
		{[]string{"STATUS:COMPLETED", "PERCENT-COMPLETE:100", at}, true, false},
		{[]string{"STATUS:COMPLETED", "PERCENT-COMPLETE:0"}, true, false},
		{[]string{at}, true, false},
		{[]string{"COMPLETED:long ago"}, true, false},
		{[]string{"PERCENT-COMPLETE:100"}, true, false},
		{[]string{"PERCENT-COMPLETE:50"}, false, true},
		{[]string{"PERCENT-COMPLETE:all"}, false, true},
		{[]string{"STATUS:NEEDS-ACTION", "PERCENT-COMPLETE:100", at}, true, false},
		{[]string{"STATUS:NEEDS-ACTION", at}, true, false},
		{[]string{"STATUS:NEEDS-ACTION", "PERCENT-COMPLETE:0", at}, false, true},
		{[]string{"STATUS:IN-PROCESS", "PERCENT-COMPLETE:100"}, true, false},
		{[]string{"PERCENT-COMPLETE:0", at}, true, false},
		{[]string{"STATUS:CANCELLED"}, false, false},
		{[]string{"STATUS:CANCELLED", at}, false, false},
	} {
		said, err := ReadTodo(sent(t, c.lines...), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		if said.Done() != c.done || said.Open() != c.open {
			t.Errorf("%q: done %t, open %t, want %t and %t", c.lines, said.Done(), said.Open(), c.done, c.open)
		}
	}
	said, err := ReadTodo(sent(t, at), time.UTC)
	if err != nil || !said.At().Equal(time.Date(2026, time.March, 1, 10, 15, 0, 0, time.UTC)) {
		t.Errorf("done at %s, %v", said.At(), err)
	}
}

// What an app says of days, in the forms of RFC 5545, 3.3.4 and 3.3.5.
func TestWhatAppsSayOfDays(t *testing.T) {
	vienna := zone(t, "Europe/Vienna")
	day := func(m time.Month, d int) record.Date { return record.NewDate(2026, m, d) }
	for _, c := range []struct {
		lines      []string
		due, start record.Date
		every      float64
	}{
		{[]string{"DUE;VALUE=DATE:20260328"}, day(3, 28), day(3, 28), 0},
		{[]string{"DTSTART;VALUE=DATE:20260327"}, day(3, 27), day(3, 27), 0},
		{[]string{"DUE:20260328T233000Z"}, day(3, 29), day(3, 29), 0},
		{[]string{"DUE;TZID=America/New_York:20260328T200000"}, day(3, 29), day(3, 29), 0},
		{[]string{"DUE:20260328T010000"}, day(3, 28), day(3, 28), 0},
		{[]string{"DUE;TZID=/example.org/Nowhere:20260328T233000"}, day(3, 28), day(3, 28), 0},
		{[]string{"DUE:20260328"}, day(3, 28), day(3, 28), 0}, // without VALUE=DATE, as some send it
		{[]string{"DTSTART;VALUE=DATE:20260301", "DUE;VALUE=DATE:20260305", "RRULE:FREQ=WEEKLY;INTERVAL=2"}, day(3, 5), day(3, 1), 14},
		{[]string{"RRULE:FREQ=MONTHLY"}, 0, 0, 30},
		{[]string{"RRULE:FREQ=YEARLY;BYMONTH=3"}, 0, 0, 365},
		{[]string{"RRULE:FREQ=HOURLY"}, 0, 0, 0},
		{[]string{"RRULE:FREQ=DAILY;INTERVAL=0"}, 0, 0, 1},
		{[]string{"RRULE:FREQ=YEARLY;INTERVAL=1000"}, 0, 0, 7305},
		{[]string{"DUE:tomorrow"}, 0, 0, 0},
		{[]string{"DUE;VALUE=DATE:99991231"}, 0, 0, 0},
	} {
		said, err := ReadTodo(sent(t, c.lines...), vienna)
		if err != nil {
			t.Fatal(err)
		}
		if said.Due != c.due || said.Start != c.start || said.EveryDays != c.every {
			t.Errorf("%q: due %s, start %s, every %v days", c.lines, said.Due, said.Start, said.EveryDays)
		}
	}
}

// One day of what recurs is said to be done by an override (RFC 5545, 3.8.4.4).
func TestWhatAppsSayOfOneDay(t *testing.T) {
	cal := sent(t, "SUMMARY:All", "DTSTART;VALUE=DATE:20260301", "RRULE:FREQ=DAILY", "CATEGORIES:a\\,b,c")
	for _, lines := range [][]string{
		{"RECURRENCE-ID;VALUE=DATE:20260302", "STATUS:COMPLETED"},
		{"RECURRENCE-ID;VALUE=DATE:20260303", "STATUS:NEEDS-ACTION"},
		{"RECURRENCE-ID:never", "STATUS:COMPLETED"},
	} {
		cal.Children = append(cal.Children, sent(t, lines...).Children...)
	}
	said, err := ReadTodo(cal, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	want := []Occurrence{{On: record.NewDate(2026, 3, 2), Done: true}, {On: record.NewDate(2026, 3, 3)}}
	if diff := cmp.Diff(want, said.Occurrence); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"a,b", "c"}, said.Categories); diff != "" || said.Summary != "All" || said.Done() {
		t.Errorf("%+v %s", said, diff)
	}
}

// A calendar without a to-do, or with two, is an error.
func TestNoTodo(t *testing.T) {
	two := sent(t)
	two.Children = append(two.Children, sent(t).Children...)
	for _, cal := range []*goical.Calendar{goical.NewCalendar(), two} {
		if _, err := ReadTodo(cal, time.UTC); err == nil {
			t.Error("it was read")
		}
	}
}

// The names and identities of to-dos and of their entries lead to each other.
func TestTodoNames(t *testing.T) {
	const entry = "kitchen.machine/descale/steam.7@limekeep"
	if name := TodoName("kitchen", entry); name != "machine.descale.steam.7.ics" {
		t.Errorf("name %q", name)
	}
	if back, ours := EntryUID(TodoUID(entry)); !ours || back != entry || TodoUID(entry) == entry {
		t.Errorf("%q leads back to %q, %t", TodoUID(entry), back, ours)
	}
	if _, ours := EntryUID("0B2C-44@phone"); ours {
		t.Error("the identity of another is taken for ours")
	}
}

// Whatever an app sends, reading it ends without a panic.
func FuzzReadTodo(f *testing.F) {
	for _, seed := range []string{"STATUS:COMPLETED", "DUE;TZID=Europe/Vienna:20260328T100000\r\nRRULE:FREQ=DAILY;INTERVAL=2", "RECURRENCE-ID:20260101T000000Z", "CATEGORIES:a,b\\", "PERCENT-COMPLETE:1e9", "COMPLETED;X=\"a:b\":x"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, body string) {
		defer bound.Memory(t)()
		text := "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VTODO\r\nUID:1\r\n" + body + "\r\nEND:VTODO\r\nEND:VCALENDAR\r\n"
		cal := decoded([]byte(text))
		if cal == nil {
			return
		}
		said, err := ReadTodo(cal, time.UTC)
		if err == nil && (said.EveryDays < 0 || said.EveryDays > 7305 || said.Due < 0 || said.Start < 0) {
			t.Errorf("%q was read as %+v", body, said)
		}
	})
}

// decoded reads a calendar with the library, which panics on some that are
// broken; the door that lets them in catches that. Nil where it cannot.
func decoded(text []byte) (cal *goical.Calendar) {
	defer func() {
		if recover() != nil {
			cal = nil
		}
	}()
	cal, err := goical.NewDecoder(bytes.NewReader(text)).Decode()
	if err != nil {
		return nil
	}
	return cal
}

// RFC 5545, 3.3.10: COUNT and UNTIL end what recurs; a time in UTC is on the day that
// the place's clock has then.
func TestReadEndOfRecurrence(t *testing.T) {
	for rule, want := range map[string]struct {
		times int
		until record.Date
	}{
		"FREQ=WEEKLY;COUNT=3":                   {3, 0},
		"FREQ=WEEKLY":                           {0, 0},
		"FREQ=WEEKLY;UNTIL=20260401":            {0, record.NewDate(2026, time.April, 1)},
		"FREQ=WEEKLY;UNTIL=20260401T233000Z":    {0, record.NewDate(2026, time.April, 2)},
		"FREQ=WEEKLY;UNTIL=20260401T233000":     {0, record.NewDate(2026, time.April, 1)},
		"FREQ=HOURLY;COUNT=3":                   {0, 0},
		"FREQ=WEEKLY;COUNT=0;UNTIL=20260401":    {0, 0},
		"FREQ=MONTHLY;COUNT=2147483647;BYDAY=1": {0, 0},
	} {
		said, err := ReadTodo(sent(t, "DUE;VALUE=DATE:20260301", "RRULE:"+rule), zone(t, "Europe/Vienna"))
		if err != nil || said.Times != want.times || said.Until != want.until {
			t.Errorf("%s ends after %d times or on %s (%v), want %d, %s", rule, said.Times, said.Until, err, want.times, want.until)
		}
	}
}
