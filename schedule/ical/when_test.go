package ical

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/agenda"
	"limekeep/schedule/record"
)

// alone gives a calendar with one entry, and its lines unfolded.
func alone(t *testing.T, zoneName string, change func(e *agenda.AgendaEntry)) string {
	t.Helper()
	a := invented(zone(t, zoneName))
	a.Entries, a.Done = a.Entries[:1], nil
	change(&a.Entries[0])
	return strings.ReplaceAll(string(encode(t, a)), "\r\n ", "")
}

func wantLines(t *testing.T, calendar string, lines ...string) {
	t.Helper()
	for _, line := range lines {
		if !strings.Contains(calendar, "\r\n"+line+"\r\n") {
			t.Errorf("no line %q in\n%s", line, calendar)
		}
	}
}

// In some zones clocks go forward over midnight. The day before still ends with
// the day after it (RFC 5545, 3.8.2.2: an end is later than its start).
func TestWholeDayBeforeAMissingMidnight(t *testing.T) {
	tests := []struct {
		zone       string
		day        record.Date
		start, end string
	}{
		{"America/Santiago", record.NewDate(2026, time.September, 5), "20260905", "20260906"},
		{"America/Santiago", record.NewDate(2026, time.September, 6), "20260906", "20260907"}, // begins at one
		{"Africa/Cairo", record.NewDate(2026, time.April, 23), "20260423", "20260424"},
		{"America/Havana", record.NewDate(2027, time.March, 13), "20270313", "20270314"},
		{"Asia/Beirut", record.NewDate(2026, time.March, 28), "20260328", "20260329"},
		{"America/Havana", record.NewDate(2026, time.November, 1), "20261101", "20261102"}, // its midnight comes twice
		{"Europe/Vienna", record.NewDate(2026, time.December, 31), "20261231", "20270101"},
	}
	for _, tt := range tests {
		t.Run(tt.zone+" "+tt.start, func(t *testing.T) {
			got := alone(t, tt.zone, func(e *agenda.AgendaEntry) { e.AllDay, e.Start = true, tt.day.In(zone(t, tt.zone)) })
			wantLines(t, got, "DTSTART;VALUE=DATE:"+tt.start, "DTEND;VALUE=DATE:"+tt.end)
		})
	}
}

// A time that the clock shows twice stands for the first (RFC 5545, 3.3.5), so
// that only UTC can name the second, or an end in it.
func TestTimesThatComeTwice(t *testing.T) {
	local := func(text string) string { return ";TZID=America/New_York:" + text }
	tests := []struct {
		name       string
		start      time.Time // of an entry of an hour, on 1 November 2026: clocks go back at 06:00 UTC
		begin, end string
	}{
		{"an hour before", time.Date(2026, 11, 1, 3, 59, 0, 0, time.UTC), local("20261031T235900"), local("20261101T005900")},
		{"ends as the first begins", time.Date(2026, 11, 1, 4, 0, 0, 0, time.UTC), ":20261101T040000Z", ":20261101T050000Z"},
		{"the first time", time.Date(2026, 11, 1, 5, 30, 0, 0, time.UTC), ":20261101T053000Z", ":20261101T063000Z"},
		{"the second time", time.Date(2026, 11, 1, 6, 30, 0, 0, time.UTC), ":20261101T063000Z", ":20261101T073000Z"},
		{"after both", time.Date(2026, 11, 1, 7, 0, 0, 0, time.UTC), local("20261101T020000"), local("20261101T030000")},
		{"clocks go forward", time.Date(2026, 3, 8, 6, 30, 0, 0, time.UTC), local("20260308T013000"), local("20260308T033000")},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := alone(t, "America/New_York", func(e *agenda.AgendaEntry) { e.Start, e.Minutes = tt.start, 60 })
			wantLines(t, got, "DTSTART"+tt.begin, "DTEND"+tt.end)
		})
	}
}

// An end must be later than the start (RFC 5545, 3.8.2.2); what takes no time
// has none (3.6.1).
func TestNoTimeAtAllHasNoEnd(t *testing.T) {
	got := alone(t, "Europe/Vienna", func(e *agenda.AgendaEntry) { e.Minutes = 0 })
	if strings.Contains(got, "DTEND") {
		t.Errorf("an end in\n%s", got)
	}
}

// A to-do reminds before it is due (RFC 5545, 3.8.6.3), and one that recurs
// before it starts.
func TestTodosRemind(t *testing.T) {
	a := invented(zone(t, "Europe/Vienna"))
	a.Entries[1].EveryDays = 1
	a.Entries[1].Alarms = []time.Duration{0, -9 * time.Hour}
	todos, err := Todos(a, nil)
	if err != nil {
		t.Fatal(err)
	}
	wantLines(t, string(todos[0].Data), "DUE;TZID=Europe/Vienna:20260328T100000", "TRIGGER;RELATED=END:-P1D")
	wantLines(t, string(todos[1].Data), "DTSTART;VALUE=DATE:20261107", "TRIGGER:PT0M", "TRIGGER:PT9H")
}

// What a text cannot hold is taken out; what ends a line in it stays a line's end.
func TestClean(t *testing.T) {
	for given, want := range map[string]string{
		"a\r\nb\rc\nd\n\r": "a\nb\nc\nd\n\n", "tab\there": "tab\there", "\x00\x07\x1b\x7f": "", "cut \xe2\x98": "cut \ufffd",
		"a\u0085b\u2028c\u2029d": "a\nb\nc\nd", "\ufeff\u200b": "\ufeff\u200b", "☕️": "☕️", "": "",
	} {
		if got := clean(given); got != want {
			t.Errorf("%q became %q, want %q", given, got, want)
		}
	}
}

// A zone's description begins in standard time, even where the calendar does not
// (icalendar can make no zone of summer time alone).
func TestZoneBeginsInStandardTime(t *testing.T) {
	for _, name := range hostileZones {
		location := zone(t, name)
		for _, month := range []time.Month{time.January, time.July} {
			at := time.Date(2026, month, 10, 0, 0, 0, 0, location)
			first := descriptionsOf(location).of(at, at).Children[0]
			if first.Name != "STANDARD" {
				t.Errorf("%s in %v begins with %s", name, month, first.Name)
			}
			if onset := first.Props.Get("DTSTART").Value; onset > at.Format("20060102T150405") {
				t.Errorf("%s in %v begins at %s", name, month, onset)
			}
		}
	}
}

// A property without a value is none (libical says so): a name of spaces alone
// sorts nothing, and an alarm still says something.
func TestNothingToSay(t *testing.T) {
	got := alone(t, "Europe/Vienna", func(e *agenda.AgendaEntry) { e.Due.Name, e.Due.Title = " \t", "\n " })
	if strings.Contains(got, "CATEGORIES") {
		t.Errorf("categories in\n%s", got)
	}
	wantLines(t, got, "DESCRIPTION:Machine care")
}

// A zone that keeps to a rule is described by it (RFC 5545, 3.6.5), as RFC 5545 has
// New York in its example; the others as the IANA time zone database has them (files
// europe, southamerica and australasia of 2024). Zones without one have dates.
func TestZoneRules(t *testing.T) {
	for name, want := range map[string][]string{
		"America/New_York":    {"FREQ=YEARLY;BYMONTH=11;BYDAY=1SU", "FREQ=YEARLY;BYMONTH=3;BYDAY=2SU"},
		"Europe/Vienna":       {"FREQ=YEARLY;BYMONTH=10;BYDAY=-1SU", "FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU"},
		"America/Santiago":    {"FREQ=YEARLY;BYMONTH=4;BYDAY=SU;BYMONTHDAY=2,3,4,5,6,7,8", "FREQ=YEARLY;BYMONTH=9;BYDAY=SU;BYMONTHDAY=2,3,4,5,6,7,8"},
		"Australia/Lord_Howe": {"FREQ=YEARLY;BYMONTH=4;BYDAY=1SU", "FREQ=YEARLY;BYMONTH=10;BYDAY=1SU"},
		"Africa/Casablanca":   {"", ""}, // by the moon
		"Africa/Cairo":        {"", ""}, // the day after the last Thursday, which can be the first of the next month
		"Asia/Kathmandu":      {""},
	} {
		location := zone(t, name)
		for _, month := range []time.Month{time.January, time.July} {
			at := time.Date(2026, month, 10, 0, 0, 0, 0, location)
			var got []string
			for _, o := range descriptionsOf(location).of(at, at.AddDate(1, 6, 0)).Children {
				rule := ""
				if p := o.Props.Get("RRULE"); p != nil {
					rule = p.Value
				}
				got = append(got, rule)
				if onset := o.Props.Get("DTSTART").Value; onset > at.Format("20060102T150405") {
					t.Errorf("%s in %v has a %s from %s on alone", name, month, o.Name, onset)
				}
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s in %v: %s", name, month, diff)
			}
		}
	}
}
