package busycal

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/plan"
	"limekeep/schedule/sample/bound"
)

// calendar puts components into a calendar file.
func calendar(components ...string) string {
	text := "BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//invented//EN\n" + strings.Join(components, "\n") + "\nEND:VCALENDAR\n"
	return strings.ReplaceAll(text, "\n", "\r\n")
}

// engagement is an event with the lines that matter.
func engagement(lines ...string) string {
	return "BEGIN:VEVENT\nUID:one@example.org\nDTSTAMP:20260101T000000Z\n" + strings.Join(lines, "\n") + "\nEND:VEVENT"
}

// What keeps the owner busy, by RFC 5545: 3.8.2.7 (TRANSP), 3.8.1.11 (STATUS),
// 3.8.5 (recurrence), 3.8.4.4 (RECURRENCE-ID), 3.6.1 (events without an end).
// The place is in Vienna, whose clocks go forward on 29 March 2026.
func TestRead(t *testing.T) {
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Fatal(err)
	}
	within := plan.Busy{From: time.Date(2026, 3, 1, 0, 0, 0, 0, vienna), To: time.Date(2026, 5, 1, 0, 0, 0, 0, vienna)}
	for _, c := range []struct {
		name string
		file string
		want []string
	}{
		{"a time in UTC", calendar(engagement("DTSTART:20260307T090000Z", "DTEND:20260307T100000Z")), []string{"03-07 10:00 to 03-07 11:00"}},
		{"a time in a zone of its own", calendar(engagement("DTSTART;TZID=Asia/Kolkata:20260307T143000", "DURATION:PT90M")), []string{"03-07 10:00 to 03-07 11:30"}},
		{"a zone nobody knows is the place's", calendar(engagement("DTSTART;TZID=Middle Earth:20260307T100000", "DTEND;TZID=Middle Earth:20260307T110000")), []string{"03-07 10:00 to 03-07 11:00"}},
		{"the zone of no machine", calendar(engagement("DTSTART;TZID=Local:20260307T100000", "DTEND;TZID=Local:20260307T110000")), []string{"03-07 10:00 to 03-07 11:00"}},
		{"a day without an end", calendar(engagement("DTSTART;VALUE=DATE:20260307")), []string{"03-07 00:00 to 03-08 00:00"}},
		{"days over a change of clocks", calendar(engagement("DTSTART;VALUE=DATE:20260328", "DTEND;VALUE=DATE:20260330")), []string{"03-28 00:00 to 03-30 00:00"}},
		{"marked as free", calendar(engagement("DTSTART:20260307T090000Z", "DTEND:20260307T100000Z", "TRANSP:TRANSPARENT")), nil},
		{"cancelled", calendar(engagement("DTSTART:20260307T090000Z", "DTEND:20260307T100000Z", "STATUS:CANCELLED")), nil},
		{"tentative is busy", calendar(engagement("DTSTART:20260307T090000Z", "DTEND:20260307T100000Z", "STATUS:TENTATIVE")), []string{"03-07 10:00 to 03-07 11:00"}},
		{"our own entry", calendar("BEGIN:VEVENT\nUID:kitchen.m/descale.0@limekeep\nDTSTAMP:20260101T000000Z\nDTSTART:20260307T090000Z\nDTEND:20260307T100000Z\nEND:VEVENT"), nil},
		{"long before", calendar(engagement("DTSTART:20250307T090000Z", "DTEND:20250307T100000Z")), nil},
		{"reaching into the plan", calendar(engagement("DTSTART:20260228T090000Z", "DTEND:20260302T100000Z")), []string{"02-28 10:00 to 03-02 11:00"}},
		{"weekly, on the clock, over a change of clocks",
			calendar(engagement("DTSTART;TZID=Europe/Vienna:20250104T100000", "DTEND;TZID=Europe/Vienna:20250104T120000", "RRULE:FREQ=WEEKLY;UNTIL=20260410T000000Z", "EXDATE;TZID=Europe/Vienna:20260314T100000,20260321T100000")),
			[]string{"03-07 10:00 to 03-07 12:00", "03-28 10:00 to 03-28 12:00", "04-04 10:00 to 04-04 12:00"}},
		{"one of a row moved to the evening",
			calendar(engagement("DTSTART;TZID=Europe/Vienna:20260307T100000", "DTEND;TZID=Europe/Vienna:20260307T110000", "RRULE:FREQ=WEEKLY;COUNT=3"),
				engagement("RECURRENCE-ID;TZID=Europe/Vienna:20260314T100000", "DTSTART;TZID=Europe/Vienna:20260314T190000", "DTEND;TZID=Europe/Vienna:20260314T200000")),
			[]string{"03-07 10:00 to 03-07 11:00", "03-21 10:00 to 03-21 11:00", "03-14 19:00 to 03-14 20:00"}},
		{"one of a row called off",
			calendar(engagement("DTSTART:20260307T090000Z", "DURATION:PT1H", "RRULE:FREQ=WEEKLY;COUNT=2"),
				engagement("RECURRENCE-ID:20260314T090000Z", "DTSTART:20260314T090000Z", "DURATION:PT1H", "STATUS:CANCELLED")),
			[]string{"03-07 10:00 to 03-07 11:00"}},
		{"days named one by one", calendar(engagement("DTSTART:20260307T090000Z", "DURATION:PT1H", "RDATE:20260310T090000Z,20260312T090000Z")),
			[]string{"03-07 10:00 to 03-07 11:00", "03-10 10:00 to 03-10 11:00", "03-12 10:00 to 03-12 11:00"}},
		{"every leap day", calendar(engagement("DTSTART;VALUE=DATE:20240229", "RRULE:FREQ=YEARLY")), nil},
		{"every 24 hours at an hour that is never met", calendar(engagement("DTSTART:20260301T080000Z", "DURATION:PT1H", "RRULE:FREQ=HOURLY;INTERVAL=24;BYHOUR=9")), nil},
		{"each 30 February", calendar(engagement("DTSTART:20250201T080000Z", "DURATION:PT1H", "RRULE:FREQ=SECONDLY;BYMONTH=2;BYMONTHDAY=30")), nil},
		{"once a day, said in minutes", calendar(engagement("DTSTART:20260228T080000Z", "DURATION:PT1H", "RRULE:FREQ=MINUTELY;INTERVAL=1440;COUNT=3")),
			[]string{"03-01 09:00 to 03-01 10:00", "03-02 09:00 to 03-02 10:00"}},
		{"a day left out of days named one by one", calendar(engagement("DTSTART:20260307T090000Z", "DURATION:PT1H", "RDATE:20260310T090000Z,20260312T090000Z", "EXDATE:20260307T090000Z,20260312T090000Z")),
			[]string{"03-10 10:00 to 03-10 11:00"}},
		{"a byte-order mark", "\uFEFF" + calendar(engagement("DTSTART:20260307T090000Z", "DTEND:20260307T100000Z")), []string{"03-07 10:00 to 03-07 11:00"}},
		{"two calendars in a file", calendar(engagement("DTSTART:20260307T090000Z", "DURATION:PT1H")) + calendar(engagement("DTSTART:20260308T090000Z", "DURATION:PT1H")),
			[]string{"03-07 10:00 to 03-07 11:00", "03-08 10:00 to 03-08 11:00"}},
		{"nothing", calendar("BEGIN:VTIMEZONE\nTZID:Europe/Vienna\nEND:VTIMEZONE"), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			busy, err := Read(t.Context(), strings.NewReader(c.file), within, vienna)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, b := range busy {
				got = append(got, b.From.In(vienna).Format("01-02 15:04")+" to "+b.To.In(vienna).Format("01-02 15:04"))
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// What cannot be read is named.
func TestReadErrors(t *testing.T) {
	within := plan.Busy{From: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), To: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)}
	for _, c := range []struct{ name, file, want string }{
		{"an empty file", "", "this one is empty"},
		{"no calendar", "a shopping list\n", "not a calendar file"},
		{"a time that is none", calendar(engagement("SUMMARY:Dinner", "DTSTART:tomorrow")), `the event "Dinner" cannot be read`},
		{"an end before the start", calendar(engagement("DTSTART:20260307T090000Z", "DTEND:20260306T090000Z")), "ends before it starts"},
		{"every second", calendar(engagement("DTSTART:20260307T090000Z", "DURATION:PT1H", "RRULE:FREQ=SECONDLY")), "more often than every hour"},
		{"every hour since the year 1", calendar(engagement("DTSTART:00010307T090000Z", "DURATION:PT1H", "RRULE:FREQ=HOURLY;COUNT=2147483647")), "from too long ago"},
		{"a rule that is none", calendar(engagement("DTSTART:20260307T090000Z", "DURATION:PT1H", "RRULE:FREQ=SOMETIMES")), "cannot be read"},
	} {
		if _, err := Read(t.Context(), strings.NewReader(c.file), within, time.UTC); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one that says %q", c.name, err, c.want)
		}
	}
}

// Whatever is in the file, reading it ends, and what it gives lies in the plan.
func FuzzRead(f *testing.F) {
	f.Add(calendar(engagement("DTSTART;TZID=Europe/Vienna:20250104T100000", "DURATION:PT2H", "RRULE:FREQ=WEEKLY", "EXDATE;TZID=Europe/Vienna:20260314T100000")))
	f.Add(calendar(engagement("DTSTART;VALUE=DATE:20260307", "RRULE:FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30")))
	f.Add(calendar(engagement("RECURRENCE-ID:20260314T090000Z", "DTSTART:20260314T090000Z")))
	f.Add(calendar(engagement("DTSTART:20250201T080000Z", "DURATION:PT1H", "RRULE:FREQ=HOURLY;INTERVAL=24;BYHOUR=9", "RDATE:20260410T090000Z")))
	f.Add("BEGIN:VCALENDAR\r\n")
	within := plan.Busy{From: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), To: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)}
	f.Fuzz(func(t *testing.T, file string) {
		defer bound.Memory(t)()
		busy, err := Read(t.Context(), strings.NewReader(file), within, time.UTC)
		if err != nil {
			return
		}
		for _, b := range busy {
			if !b.To.After(within.From) || !b.From.Before(within.To) || b.To.Before(b.From) {
				t.Errorf("%v to %v is not in the plan", b.From, b.To)
			}
		}
	})
}
