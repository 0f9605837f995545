package ical

import (
	"slices"
	"strings"
	"testing"
)

// soundFeed is a calendar without a fault that uses most of what is checked.
const soundFeed = `BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//limekeep//checker//EN
CALSCALE:GREGORIAN
NAME:Machine care
REFRESH-INTERVAL;VALUE=DURATION:PT12H
X-PUBLISHED-TTL:PT12H
BEGIN:VTIMEZONE
TZID:Europe/Vienna
BEGIN:STANDARD
DTSTART:20251026T030000
TZOFFSETFROM:+0200
TZOFFSETTO:+0100
TZNAME:CET
END:STANDARD
BEGIN:DAYLIGHT
DTSTART:20260329T020000
TZOFFSETFROM:+0100
TZOFFSETTO:+0200
TZNAME:CEST
END:DAYLIGHT
BEGIN:STANDARD
DTSTART:20261025T030000
TZOFFSETFROM:+0200
TZOFFSETTO:+0100
TZNAME:CET
END:STANDARD
END:VTIMEZONE
BEGIN:VEVENT
UID:1@limekeep
DTSTAMP:20260301T031000Z
LAST-MODIFIED:20260301T031000Z
SEQUENCE:3
SUMMARY;LANGUAGE=en:Descale\, then rinse
DESCRIPTION;ALTREP="http://a.example/?a;b":One\ntwo\; three\\
CATEGORIES:Machine,Grinder
URL:http://127.0.0.1:8321/tasks/machine/descale?a=%20b
STATUS:CONFIRMED
TRANSP:OPAQUE
DTSTART;TZID=Europe/Vienna:20260328T100000
DTEND;TZID=Europe/Vienna:20260328T120000
X-LIMEKEEP-NOTE;X-A="b:c",d:free
BEGIN:VALARM
ACTION:DISPLAY
DESCRIPTION:Descale
TRIGGER;RELATED=START:-P1D
END:VALARM
END:VEVENT
BEGIN:VEVENT
UID:2@limekeep
DTSTAMP:20260301T031000Z
SUMMARY:Rinse
DTSTART;VALUE=DATE:20260401
DTEND;VALUE=DATE:20260402
RRULE:FREQ=DAILY;INTERVAL=2;UNTIL=20261231
END:VEVENT
BEGIN:VTODO
UID:3@limekeep
DTSTAMP:20260301T031000Z
SUMMARY:Order cartridges
DUE;TZID=Europe/Vienna:20260801T090000
STATUS:COMPLETED
PERCENT-COMPLETE:100
COMPLETED:20260730T120000Z
BEGIN:VALARM
ACTION:DISPLAY
DESCRIPTION:Order
TRIGGER;RELATED=END:-PT1H30M
END:VALARM
END:VTODO
END:VCALENDAR
`

// soundResource is a calendar object resource without a fault.
const soundResource = `BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//limekeep//checker//EN
BEGIN:VTODO
UID:1@limekeep
DTSTAMP:20260301T031000Z
DTSTART;VALUE=DATE:20260401
DURATION:P1D
SUMMARY:Rinse
END:VTODO
END:VCALENDAR
`

func wire(text string) []byte { return []byte(strings.ReplaceAll(text, "\n", crlf)) }

func TestCheckerPassesWhatIsSound(t *testing.T) {
	for _, f := range append(checkFeed(wire(soundFeed)), checkResource(wire(soundResource))...) {
		t.Error(f)
	}
}

// Every rule can fail: each of these calendars is sound but for one thing.
func TestCheckerFindsWhatIsBroken(t *testing.T) {
	const drop = ""
	tests := []struct {
		section  string
		from, to string // in soundFeed; in soundResource where it is not there
	}{
		{"3.1", "SUMMARY:Rinse\r\n", "SUMMARY:Rinse\n"},
		{"3.1", "SUMMARY:Rinse\r\n", "SUMMARY:Rin\rse\r\n"},
		{"3.1", "SUMMARY:Rinse", "SUMMARY:" + strings.Repeat("x", 68)},
		{"3.1", "SUMMARY:Rinse", "SUMMARY:" + strings.Repeat("x", 60) + "\r\n " + strings.Repeat("x", 75)},
		{"3.1", "SUMMARY:Rinse", "SUMMARY:caf\xc3\r\n \xa9"},
		{"3.1", "SUMMARY:Rinse", "SUMMARY:caf\xe9"},
		{"3.1", "SUMMARY:Rinse", "SUMMARY:a\x00b"},
		{"3.1", "SUMMARY:Rinse", "SUMMARY:a\x7fb"},
		{"3.1", "SUMMARY:Rinse", "SUMMARY:a\x1bb"},
		{"3.1", "SUMMARY:Rinse", "SUMMARY"},
		{"3.1", "SUMMARY:Rinse", "SUM_MARY:Rinse"},
		{"3.1", "SUMMARY:Rinse", ":Rinse"},
		{"3.1", "SUMMARY:Rinse\r\n", "\r\nSUMMARY:Rinse\r\n"},
		{"3.1", "BEGIN:VCALENDAR", " BEGIN:VCALENDAR"},
		{"3.1", "BEGIN:VCALENDAR", "\ufeffBEGIN:VCALENDAR"},
		{"3.1", "END:VCALENDAR\r\n", "END:VCALENDAR"},
		{"3.1", "LANGUAGE=en", "LANG_UAGE=en"},
		{"3.1", "SUMMARY;LANGUAGE=en", "SUMMARY;LANGUAGE"},
		{"3.2", `LANGUAGE=en`, `LANGUAGE=e"n"`},
		{"3.2", `"http://a.example/?a;b":One`, `"http://a.example/?a;b:One`},
		{"3.2", `"http://a.example/?a;b":One`, `"http://a.example/?a;b"x:One`},
		{"3.4", "BEGIN:VCALENDAR\r\nVERSION", "BEGIN:VEVENT\r\nVERSION"},
		{"3.4", "END:VCALENDAR\r\n", "END:VCALENDAR\r\nBEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n"},
		{"3.4", "END:VCALENDAR\r\n", "END:VCALENDAR\r\nNAME:x\r\n"},
		{"3.6", "END:VTODO\r\nEND:VCALENDAR", "END:VCALENDAR"},
		{"3.6", "END:VCALENDAR\r\n", drop},
		{"3.6", "BEGIN:VTODO", "BEGIN:VTASK"},
		{"3.6", "VERSION:2.0\r\n", drop},
		{"3.6", "PRODID:-//limekeep//checker//EN\r\n", drop},
		{"3.6", "CALSCALE:GREGORIAN\r\n", "CALSCALE:GREGORIAN\r\nCALSCALE:GREGORIAN\r\n"},
		{"3.6", "CALSCALE:GREGORIAN\r\n", "SUMMARY:x\r\n"},
		{"3.7.4", "VERSION:2.0", "VERSION:1.0"},
		{"3.7.1", "CALSCALE:GREGORIAN", "CALSCALE:JULIAN"},
		{"RFC 5546, 3.2.1", "CALSCALE:GREGORIAN", "METHOD:PUBLISH"},
		{"RFC 7986, 5.7", "REFRESH-INTERVAL;VALUE=DURATION:PT12H", "REFRESH-INTERVAL:PT12H"},
		{"RFC 7986, 5.7", "REFRESH-INTERVAL;VALUE=DURATION:PT12H", "REFRESH-INTERVAL;VALUE=DURATION:-PT12H"},
		{"3.6.1", "UID:2@limekeep\r\n", drop},
		{"3.6.1", "DTSTAMP:20260301T031000Z\r\nLAST", "LAST"},
		{"3.6.1", "DTSTART;VALUE=DATE:20260401\r\nDTEND;VALUE=DATE:20260402\r\nRRULE:FREQ=DAILY;INTERVAL=2;UNTIL=20261231\r\n", drop},
		{"3.6.1", "SUMMARY:Rinse", "SUMMARY:Rinse\r\nSUMMARY:Rinse"},
		{"3.6.1", "SUMMARY:Rinse", "DUE:20260801T090000Z"},
		{"3.6.1", "SUMMARY:Rinse", "SUMMERY:Rinse"},
		{"3.6.1", "SUMMARY:Rinse", "DURATION:P1D"},
		{"3.6.2", "PERCENT-COMPLETE:100", "TRANSP:OPAQUE"},
		{"3.6.2", "STATUS:COMPLETED", "DURATION:PT1H"},
		{"3.8.4.7", "UID:2@limekeep", "UID:1@limekeep"},
		{"3.8.7.2", "UID:2@limekeep\r\nDTSTAMP:20260301T031000Z", "UID:2@limekeep\r\nDTSTAMP:20260301T031000"},
		{"3.8.7.3", "LAST-MODIFIED:20260301T031000Z", "LAST-MODIFIED:20260301T031000"},
		{"3.8.2.1", "COMPLETED:20260730T120000Z", "COMPLETED;TZID=Europe/Vienna:20260730T120000"},
		{"3.8.7.4", "SEQUENCE:3", "SEQUENCE:-1"},
		{"3.3.8", "SEQUENCE:3", "SEQUENCE:2147483648"},
		{"3.3.8", "SEQUENCE:3", "SEQUENCE:three"},
		{"3.8.1.8", "PERCENT-COMPLETE:100", "PERCENT-COMPLETE:101"},
		{"3.3.11", `Descale\, then`, `Descale, then`},
		{"3.3.11", `two\; three`, `two; three`},
		{"3.3.11", `One\ntwo`, `One\ttwo`},
		{"3.3.11", `three\\`, `three\`},
		{"3.3.11", `Machine,Grinder`, `Machine;Grinder`},
		{"3.3.11", "d:free", "d:fr;ee"},
		{"3.3.13", "URL:http://", "URL:"},
		{"3.3.13", "a=%20b", "a=%2xb"},
		{"3.3.13", "a=%20b", "a=ü"},
		{"3.8.1.12", "SUMMARY;LANGUAGE=en", "SUMMARY;TZID=Europe/Vienna"},
		{"3.8.1.12", "SUMMARY;LANGUAGE=en", "SUMMARY;LANGUAGE=en;LANGUAGE=de"},
		{"3.8.1.11", "STATUS:CONFIRMED", "STATUS:NEEDS-ACTION"},
		{"3.8.1.11", "STATUS:COMPLETED", "STATUS:CONFIRMED"},
		{"3.8.2.7", "TRANSP:OPAQUE", "TRANSP:BUSY"},
		{"3.8.2.2", "DTEND;TZID=Europe/Vienna:20260328T120000", "DTEND;TZID=Europe/Vienna:20260328T100000"},
		{"3.8.2.2", "DTEND;TZID=Europe/Vienna:20260328T120000", "DTEND:20260328T085959Z"},
		{"3.8.2.2", "DTEND;TZID=Europe/Vienna:20260328T120000", "DTEND:20260328T120000"},
		{"3.8.2.2", "DTEND;TZID=Europe/Vienna:20260328T120000", "DTEND;VALUE=DATE:20260329"},
		{"3.8.2.2", "DTEND;VALUE=DATE:20260402", "DTEND;VALUE=DATE:20260401"},
		{"3.8.2.2", "DTEND;VALUE=DATE:20260402", "DTEND;VALUE=TIME:100000"},
		// An hour from the first 02:30 to the second reads as no time at all.
		{"3.8.2.2", "DTSTART;TZID=Europe/Vienna:20260328T100000\r\nDTEND;TZID=Europe/Vienna:20260328T120000",
			"DTSTART;TZID=Europe/Vienna:20261025T023000\r\nDTEND;TZID=Europe/Vienna:20261025T023000"},
		// 02:30 does not come: it is 03:30, an hour after 02:30 by the clock of before.
		{"3.8.2.2", "DTSTART;TZID=Europe/Vienna:20260328T100000\r\nDTEND;TZID=Europe/Vienna:20260328T120000",
			"DTSTART;TZID=Europe/Vienna:20260329T023000\r\nDTEND;TZID=Europe/Vienna:20260329T033000"},
		{"3.3.4", "DTEND;VALUE=DATE:20260402", "DTEND;VALUE=DATE:20260431"},
		{"3.3.4", "DTEND;VALUE=DATE:20260402", "DTEND;VALUE=DATE:2026-04-02"},
		{"3.3.5", "DTEND;TZID=Europe/Vienna:20260328T120000", "DTEND;TZID=Europe/Vienna:20260328T240000"},
		{"3.3.5", "DTEND;TZID=Europe/Vienna:20260328T120000", "DTEND;TZID=Europe/Vienna:20260328T1200"},
		{"3.2.19", "DTEND;TZID=Europe/Vienna:20260328T120000", "DTEND;TZID=Europe/Vienna:20260328T120000Z"},
		{"3.2.19", "DTEND;TZID=Europe/Vienna:20260328T120000", "DTEND;TZID=Europe/Berlin:20260328T120000"},
		{"3.2.19", "DTEND;VALUE=DATE:20260402", "DTEND;VALUE=DATE;TZID=Europe/Vienna:20260402"},
		{"3.6.5", "DTSTART;TZID=Europe/Vienna:20260328T100000", "DTSTART;TZID=Europe/Vienna:20251026T025959"},
		{"3.6.5", "TZNAME:CEST\r\n", "TZNAME:CEST\r\nSUMMARY:x\r\n"},
		{"3.6.5", "TZOFFSETFROM:+0100\r\nTZOFFSETTO:+0200", "TZOFFSETTO:+0200"},
		{"3.6.5", "DTSTART:20260329T020000", "DTSTART:20260329T010000Z"},
		{"3.6.5", "TZID:Europe/Vienna\r\n", drop},
		{"3.8.3.1", "BEGIN:VEVENT\r\nUID:1", "BEGIN:VTIMEZONE\r\nTZID:Europe/Vienna\r\nBEGIN:STANDARD\r\nDTSTART:20251026T030000\r\nTZOFFSETFROM:+0200\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\nBEGIN:VEVENT\r\nUID:1"},
		{"3.6.5", "BEGIN:VEVENT\r\nUID:1", "BEGIN:VTIMEZONE\r\nTZID:Europe/Rome\r\nEND:VTIMEZONE\r\nBEGIN:VEVENT\r\nUID:1"},
		{"3.8.3.3", "TZOFFSETFROM:+0100\r\nTZOFFSETTO:+0200", "TZOFFSETFROM:+0000\r\nTZOFFSETTO:+0200"},
		{"3.3.14", "TZOFFSETTO:+0200\r\nTZNAME:CEST", "TZOFFSETTO:0200\r\nTZNAME:CEST"},
		{"3.3.14", "TZOFFSETTO:+0200\r\nTZNAME:CEST", "TZOFFSETTO:+02:00\r\nTZNAME:CEST"},
		{"3.3.14", "TZOFFSETTO:+0200\r\nTZNAME:CEST", "TZOFFSETTO:-0000\r\nTZNAME:CEST"},
		{"3.6.6", "ACTION:DISPLAY\r\nDESCRIPTION:Order\r\n", "ACTION:DISPLAY\r\n"},
		{"3.6.6", "TRIGGER;RELATED=END:-PT1H30M\r\n", drop},
		{"3.6.6", "TRIGGER;RELATED=END:-PT1H30M", "TRIGGER;RELATED=END:-PT1H30M\r\nREPEAT:2"},
		{"3.6.6", "ACTION:DISPLAY\r\nDESCRIPTION:Order", "ACTION:EMAIL\r\nDESCRIPTION:Order"},
		{"3.8.6.1", "ACTION:DISPLAY\r\nDESCRIPTION:Order", "ACTION:SHOUT\r\nDESCRIPTION:Order"},
		{"3.8.6.3", "TRIGGER;RELATED=END:-PT1H30M", "TRIGGER:-PT1H30M"},
		{"3.8.6.3", "DUE;TZID=Europe/Vienna:20260801T090000", "DTSTART:20260801T090000Z"},
		{"3.8.6.3", "TRIGGER;RELATED=END:-PT1H30M", "TRIGGER;VALUE=DATE-TIME:20260801T090000"},
		{"3.8.6.3", "TRIGGER;RELATED=END:-PT1H30M", "TRIGGER;VALUE=DATE-TIME;RELATED=END:20260801T090000Z"},
		{"3.2.14", "TRIGGER;RELATED=END:-PT1H30M", "TRIGGER;RELATED=DUE:-PT1H30M"},
		{"3.3.6", "TRIGGER;RELATED=END:-PT1H30M", "TRIGGER;RELATED=END:-P1H30M"},
		{"3.3.6", "TRIGGER;RELATED=END:-PT1H30M", "TRIGGER;RELATED=END:-PT1H30S"},
		{"3.3.6", "TRIGGER;RELATED=END:-PT1H30M", "TRIGGER;RELATED=END:-P1W2D"},
		{"3.3.6", "TRIGGER;RELATED=END:-PT1H30M", "TRIGGER;RELATED=END:-PT"},
		{"3.3.6", "X-PUBLISHED-TTL:PT12H", "X-PUBLISHED-TTL;VALUE=DURATION:12H"},
		{"3.3.10", "FREQ=DAILY;", "FREQ=FORTNIGHTLY;"},
		{"3.3.10", "FREQ=DAILY;INTERVAL=2", "INTERVAL=2;FREQ=DAILY"},
		{"3.3.10", "INTERVAL=2", "INTERVAL=0"},
		{"3.3.10", "INTERVAL=2", "COUNT=4"},
		{"3.3.10", "INTERVAL=2", "BYHOUR=24"},
		{"3.3.10", "INTERVAL=2", "BYMONTHDAY=0"},
		{"3.3.10", "INTERVAL=2", "BYDAY=1XX"},
		{"3.3.10", "INTERVAL=2", "EVERY=2"},
		{"3.3.10", "INTERVAL=2", "FREQ=DAILY"},
		{"3.3.10", "UNTIL=20261231", "UNTIL=20261231T000000Z"},
		{"3.8.2.4", "DUE;TZID=Europe/Vienna:20260801T090000", "RRULE:FREQ=DAILY\r\nDUE:20260801T090000Z"},
		{"RFC 4791, 4.1", "VERSION:2.0\r\nPRODID:-//limekeep//checker//EN\r\nBEGIN:VTODO", "VERSION:2.0\r\nMETHOD:PUBLISH\r\nPRODID:-//limekeep//checker//EN\r\nBEGIN:VTODO"},
		{"RFC 4791, 4.1", "END:VTODO\r\nEND:VCALENDAR", "END:VTODO\r\nBEGIN:VTODO\r\nUID:2\r\nDTSTAMP:20260301T031000Z\r\nEND:VTODO\r\nEND:VCALENDAR"},
		{"RFC 4791, 4.1", "END:VTODO\r\nEND:VCALENDAR", "END:VTODO\r\nBEGIN:VEVENT\r\nUID:1@limekeep\r\nDTSTAMP:20260301T031000Z\r\nDTSTART:20260301T031000Z\r\nEND:VEVENT\r\nEND:VCALENDAR"},
		{"3.8.2.5", "DURATION:P1D", "DURATION:PT24H"},
		{"3.8.2.5", "DURATION:P1D", "DURATION:-P1D"},
		{"3.6.2", "DTSTART;VALUE=DATE:20260401\r\nDURATION:P1D", "DURATION:P1D"},
		{"3.8.2.3", "DURATION:P1D", "DUE;VALUE=DATE:20260401"},
		{"3.6", "BEGIN:VTODO\r\nUID:1@limekeep\r\nDTSTAMP:20260301T031000Z\r\nDTSTART;VALUE=DATE:20260401\r\nDURATION:P1D\r\nSUMMARY:Rinse\r\nEND:VTODO\r\n", drop},
	}
	for _, tt := range tests {
		t.Run(tt.section+" "+tt.to, func(t *testing.T) {
			sound, checked := string(wire(soundFeed)), checkFeed
			if !strings.Contains(sound, tt.from) || strings.HasPrefix(tt.section, "RFC 4791") {
				sound, checked = string(wire(soundResource)), checkResource
			}
			broken := strings.Replace(sound, tt.from, tt.to, 1)
			if broken == sound {
				t.Fatalf("%q is not there", tt.from)
			}
			faults := checked([]byte(broken))
			if !slices.ContainsFunc(faults, func(f fault) bool { return f.section == tt.section }) {
				t.Errorf("%q for %q: found %v", tt.to, tt.from, faults)
			}
		})
	}
	if faults := checkFeed(nil); len(faults) == 0 {
		t.Error("nothing at all is a calendar")
	}
}
