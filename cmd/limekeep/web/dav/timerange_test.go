package dav

import (
	"net/http"
	"slices"
	"strings"
	"testing"
)

// query asks with a filter about VTODO and gives the names of what matches.
func (k *kit) query(inside string) []string {
	k.Helper()
	return k.read(k.ask("REPORT", atCollection, queryXML(inside), "Depth", "1")).names()
}

func queryXML(inside string) string {
	return davXML("C:calendar-query", `<D:prop><D:getetag/></D:prop><C:filter><C:comp-filter name="VCALENDAR"><C:comp-filter name="VTODO">`+inside+`</C:comp-filter></C:comp-filter></C:filter>`)
}

// matchesOne tells whether the only object matches.
func (k *kit) matchesOne(inside string) bool {
	k.Helper()
	return len(k.query(inside)) == 1
}

// RFC 4791, 9.9: every row of the table for VTODO, at its edges, for the range
// from 10:00 to 12:00. What is to come out is worked out by hand.
func TestTimeRangeTable(t *testing.T) {
	at := func(hour string) string { return "20260310T" + strings.ReplaceAll(hour, ":", "") + "00Z" }
	tests := []struct {
		row   string
		lines []string
		want  bool
	}{
		// start <= DTSTART+DURATION and (end > DTSTART or end >= DTSTART+DURATION)
		{"Y Y N", []string{"DTSTART:" + at("08:00"), "DURATION:PT1H"}, false},
		{"Y Y N", []string{"DTSTART:" + at("08:59"), "DURATION:PT1H"}, false},
		{"Y Y N", []string{"DTSTART:" + at("09:00"), "DURATION:PT1H"}, true},
		{"Y Y N", []string{"DTSTART:" + at("09:00"), "DURATION:PT4H"}, true},
		{"Y Y N", []string{"DTSTART:" + at("11:59"), "DURATION:PT1H"}, true},
		{"Y Y N", []string{"DTSTART:" + at("12:00"), "DURATION:PT0S"}, true},
		{"Y Y N", []string{"DTSTART:" + at("12:00"), "DURATION:PT1S"}, false},
		{"Y Y N, done", []string{"DTSTART:" + at("12:00"), "DURATION:PT1H", "COMPLETED:" + at("11:00"), "CREATED:" + at("11:00")}, false},
		// (start < DUE or start <= DTSTART) and (end > DTSTART or end >= DUE)
		{"Y N Y", []string{"DTSTART:" + at("08:00"), "DUE:" + at("09:00")}, false},
		{"Y N Y", []string{"DTSTART:" + at("08:00"), "DUE:" + at("10:00")}, false},
		{"Y N Y", []string{"DTSTART:" + at("08:00"), "DUE:" + at("10:01")}, true},
		{"Y N Y", []string{"DTSTART:" + at("10:00"), "DUE:" + at("10:00")}, true},
		{"Y N Y", []string{"DTSTART:" + at("08:00"), "DUE:" + at("14:00")}, true},
		{"Y N Y", []string{"DTSTART:" + at("11:59"), "DUE:" + at("14:00")}, true},
		{"Y N Y", []string{"DTSTART:" + at("12:00"), "DUE:" + at("12:00")}, true},
		{"Y N Y", []string{"DTSTART:" + at("12:00"), "DUE:" + at("12:01")}, false},
		{"Y N Y, done", []string{"DTSTART:" + at("08:00"), "DUE:" + at("10:00"), "COMPLETED:" + at("11:00")}, false},
		// start <= DTSTART and end > DTSTART
		{"Y N N", []string{"DTSTART:" + at("09:59")}, false},
		{"Y N N", []string{"DTSTART:" + at("10:00")}, true},
		{"Y N N", []string{"DTSTART:" + at("11:59")}, true},
		{"Y N N", []string{"DTSTART:" + at("12:00")}, false},
		{"Y N N, done", []string{"DTSTART:" + at("12:00"), "COMPLETED:" + at("11:00")}, false},
		// start < DUE and end >= DUE
		{"N N Y", []string{"DUE:" + at("10:00")}, false},
		{"N N Y", []string{"DUE:" + at("10:01")}, true},
		{"N N Y", []string{"DUE:" + at("12:00")}, true},
		{"N N Y", []string{"DUE:" + at("12:01")}, false},
		{"N N Y, done", []string{"DUE:" + at("12:01"), "COMPLETED:" + at("11:00"), "CREATED:" + at("11:00")}, false},
		// (start <= CREATED or start <= COMPLETED) and (end >= CREATED or end >= COMPLETED)
		{"N N N Y Y", []string{"CREATED:" + at("08:00"), "COMPLETED:" + at("09:59")}, false},
		{"N N N Y Y", []string{"CREATED:" + at("08:00"), "COMPLETED:" + at("10:00")}, true},
		{"N N N Y Y", []string{"CREATED:" + at("08:00"), "COMPLETED:" + at("14:00")}, true},
		{"N N N Y Y", []string{"CREATED:" + at("12:00"), "COMPLETED:" + at("14:00")}, true},
		{"N N N Y Y", []string{"CREATED:" + at("12:01"), "COMPLETED:" + at("14:00")}, false},
		// start <= COMPLETED and end >= COMPLETED
		{"N N N Y N", []string{"COMPLETED:" + at("09:59")}, false},
		{"N N N Y N", []string{"COMPLETED:" + at("10:00")}, true},
		{"N N N Y N", []string{"COMPLETED:" + at("12:00")}, true},
		{"N N N Y N", []string{"COMPLETED:" + at("12:01")}, false},
		// end > CREATED
		{"N N N N Y", []string{"CREATED:" + at("08:00")}, true},
		{"N N N N Y", []string{"CREATED:" + at("11:59")}, true},
		{"N N N N Y", []string{"CREATED:" + at("12:00")}, false},
		// TRUE
		{"N N N N N", nil, true},
	}
	for _, test := range tests {
		k := newKit(t)
		k.memory.keep(t, "a.ics", vtodo("1", test.lines...))
		if got := k.matchesOne(`<C:time-range start="20260310T100000Z" end="20260310T120000Z"/>`); got != test.want {
			t.Errorf("%s: %v from 10:00 to 12:00 is %v, want %v", test.row, test.lines, got, test.want)
		}
	}
}

// Ranges open at one end, dates, floating times and zones.
func TestTimeRangeZones(t *testing.T) {
	newYork := `<C:timezone>` + strings.ReplaceAll(viennaZone, "Europe/Vienna", "America/New_York") + `</C:timezone>`
	tests := []struct {
		name, line string
		start, end string
		zone       string
		want       bool
	}{
		{"open to the future", "DUE:20991231T000000Z", "20260310T100000Z", "", "", true},
		{"open to the past", "DUE:19991231T000000Z", "", "20260310T100000Z", "", true},
		{"before an open range", "DUE:20260310T100000Z", "20260310T100000Z", "", "", false},
		{"after an open range", "DTSTART:20260310T100000Z", "", "20260310T100000Z", "", false},
		// The first moment of 10 March in Vienna is 23:00 UTC the day before, in
		// New York 04:00 UTC (from 8 March 2026 on its clocks are 4 hours behind).
		{"a date in the place's zone", "DTSTART;VALUE=DATE:20260310", "20260309T230000Z", "20260309T230001Z", "", true},
		{"a date in the place's zone, a second late", "DTSTART;VALUE=DATE:20260310", "20260309T230001Z", "20260310T030000Z", "", false},
		{"a date in the query's zone", "DTSTART;VALUE=DATE:20260310", "20260310T040000Z", "20260310T040001Z", newYork, true},
		{"a floating time", "DTSTART:20260310T090000", "20260310T080000Z", "20260310T080001Z", "", true},
		{"a floating time in the query's zone", "DTSTART:20260310T090000", "20260310T130000Z", "20260310T130001Z", newYork, true},
		{"a zoned time", "DTSTART;TZID=Asia/Kolkata:20260310T090000", "20260310T033000Z", "20260310T033001Z", newYork, true},
		{"a zone under a longer name", "DTSTART;TZID=/example.org/2026/Asia/Kolkata:20260310T090000", "20260310T033000Z", "20260310T033001Z", "", true},
		{"a zone of no name", "DTSTART;TZID=Customised:20260310T090000", "20260310T080000Z", "20260310T080001Z", "", true},
		{"no time at all counts as none", "DTSTART:soon", "20260310T080000Z", "20260310T080001Z", "", true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKit(t)
			k.memory.keep(t, "a.ics", vtodo("1", test.line))
			r := "<C:time-range"
			if test.start != "" {
				r += ` start="` + test.start + `"`
			}
			if test.end != "" {
				r += ` end="` + test.end + `"`
			}
			body := strings.Replace(queryXML(r+"/>"), "</C:filter>", "</C:filter>"+test.zone, 1)
			m := k.read(k.ask("REPORT", atCollection, body, "Depth", "1"))
			if got := len(m.Responses) == 1; got != test.want {
				t.Errorf("%s in %s..%s: %v, want %v", test.line, test.start, test.end, got, test.want)
			}
		})
	}
	k := newKit(t)
	for _, zone := range []string{"", "BEGIN:VCALENDAR", "Europe/Vienna", vtodo("1"), strings.ReplaceAll(viennaZone, "Europe/Vienna", "Nowhere")} {
		body := strings.Replace(queryXML(""), "</C:filter>", "</C:filter><C:timezone>"+zone+"</C:timezone>", 1)
		if got := k.condition(k.expect(http.StatusForbidden, "REPORT", atCollection, body)); got != string(ValidCalendarData) {
			t.Errorf("the zone %q is refused by %s", zone, got)
		}
	}
}

// RFC 4791, 9.9: every occurrence of a to-do that recurs counts.
func TestTimeRangeOfRecurring(t *testing.T) {
	weekly := []string{"DTSTART;TZID=Europe/Vienna:20260302T090000", "DUE;TZID=Europe/Vienna:20260302T100000", "RRULE:FREQ=WEEKLY;COUNT=6"}
	// Mondays: 2, 9, 16, 23 March at 08:00 UTC, then after the clocks went forward
	// on 29 March, 30 March and 6 April at 07:00 UTC.
	tests := []struct {
		name       string
		lines      []string
		start, end string
		want       bool
	}{
		{"the first", weekly, "20260302T080000Z", "20260302T080001Z", true},
		{"the second", weekly, "20260309T080000Z", "20260309T080001Z", true},
		{"between two", weekly, "20260309T090000Z", "20260316T080000Z", false},
		{"after the clocks went forward", weekly, "20260330T070000Z", "20260330T070001Z", true},
		{"an hour that the clock skipped", weekly, "20260330T080000Z", "20260330T090000Z", false},
		{"the last", weekly, "20260406T070000Z", "", true},
		{"after the last", weekly, "20260406T080000Z", "", false},
		{"before the first", weekly, "", "20260302T080000Z", false},
		{"left out", append(slices.Clone(weekly), "EXDATE;TZID=Europe/Vienna:20260309T090000,20260316T090000"), "20260309T000000Z", "20260317T000000Z", false},
		{"not left out", append(slices.Clone(weekly), "EXDATE;TZID=Europe/Vienna:20260309T090000,20260316T090000"), "20260323T000000Z", "20260324T000000Z", true},
		{"added", append(slices.Clone(weekly), "RDATE:20260501T120000Z,20260601T120000Z"), "20260601T120000Z", "20260601T120001Z", true},
		{"added alone", []string{"DTSTART:20260302T080000Z", "RDATE:20260501T120000Z"}, "20260501T120000Z", "20260501T120001Z", true},
		{"added alone, the first", []string{"DTSTART:20260302T080000Z", "RDATE:20260501T120000Z"}, "20260302T080000Z", "20260302T080001Z", true},
		{"due only", []string{"DUE:20260302T080000Z", "RRULE:FREQ=DAILY;INTERVAL=2"}, "20280229T000000Z", "20280302T000000Z", true},
		{"due only, a day between", []string{"DUE:20260302T080000Z", "RRULE:FREQ=DAILY;INTERVAL=2"}, "20260303T000000Z", "20260304T000000Z", false},
		{"until a date, the last day", []string{"DTSTART:20260302T080000Z", "RRULE:FREQ=DAILY;UNTIL=20260305"}, "20260305T000000Z", "20260306T000000Z", true},
		{"until a date, the day after", []string{"DTSTART:20260302T080000Z", "RRULE:FREQ=DAILY;UNTIL=20260305"}, "20260306T000000Z", "20260307T000000Z", false},
		{"until a floating time", []string{"DTSTART:20260302T080000", "RRULE:FREQ=DAILY;UNTIL=20260305T080000"}, "20260305T000000Z", "20260306T000000Z", true},
		{"dates for years", []string{"DTSTART;VALUE=DATE:20160302", "RRULE:FREQ=DAILY"}, "20260302T120000Z", "20260303T120000Z", true},
		// Rules that are not followed match, see todo.any.
		{"by the second", []string{"DTSTART:20260302T080000Z", "RRULE:FREQ=SECONDLY;BYMONTH=2;BYMONTHDAY=30"}, "20260501T000000Z", "20260502T000000Z", true},
		{"by the second, before the first", []string{"DTSTART:20260302T080000Z", "RRULE:FREQ=SECONDLY"}, "20260201T000000Z", "20260202T000000Z", false},
		{"no rule", []string{"DTSTART:20260302T080000Z", "RRULE:every now and then"}, "20260501T000000Z", "20260502T000000Z", true},
		{"never", []string{"DTSTART:20260302T080000Z", "RRULE:FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30"}, "20260501T000000Z", "", false},
		{"since the year 1", []string{"DTSTART:00010302T080000Z", "RRULE:FREQ=DAILY"}, "20260501T000000Z", "", true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKit(t)
			k.memory.keep(t, "a.ics", vtodo("1", test.lines...))
			r := `<C:time-range start="` + test.start + `" end="` + test.end + `"/>`
			r = strings.ReplaceAll(strings.ReplaceAll(r, ` start=""`, ""), ` end=""`, "")
			if got := k.matchesOne(r); got != test.want {
				t.Errorf("%v in %s..%s: %v, want %v", test.lines, test.start, test.end, got, test.want)
			}
		})
	}
}

// An occurrence that was changed counts where it is now, and no longer where the
// rule has it.
func TestTimeRangeOfChangedOccurrence(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a.ics", vcalendar(
		"BEGIN:VTODO", "UID:1", "DTSTAMP:20260301T120000Z", "DTSTART:20260302T080000Z", "RRULE:FREQ=WEEKLY", "END:VTODO",
		"BEGIN:VTODO", "UID:1", "DTSTAMP:20260301T120000Z", "DTSTART:20260311T080000Z", "RECURRENCE-ID:20260309T080000Z", "END:VTODO"))
	for day, want := range map[string]bool{"02": true, "09": false, "11": true, "16": true, "18": false} {
		if got := k.matchesOne(`<C:time-range start="202603` + day + `T000000Z" end="202603` + day + `T235959Z"/>`); got != want {
			t.Errorf("%s March: %v, want %v", day, got, want)
		}
	}
}
