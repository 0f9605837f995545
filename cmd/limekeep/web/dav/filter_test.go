package dav

import (
	"net/http"
	"slices"
	"strings"
	"testing"
)

// rfcTodos are the to-dos of the collection that the examples of RFC 4791 are
// about (appendix B; abcd5 as 7.8.5 shows it).
func rfcTodos(t *testing.T, k *kit) {
	alarm := []string{"BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER;RELATED=START:-PT10M", "END:VALARM"}
	keep := func(name, uid string, lines ...string) {
		all := append([]string{"BEGIN:VTODO", "UID:" + uid}, lines...)
		k.memory.keep(t, name, vcalendar(append(all, "END:VTODO")...))
	}
	keep("abcd4.ics", "DDDEEB7915FA61233B861457@example.com", append([]string{"DTSTAMP:20060205T235335Z", "DUE;VALUE=DATE:20060104", "STATUS:NEEDS-ACTION", "SUMMARY:Task #1"}, alarm...)...)
	keep("abcd5.ics", "E10BA47467C5C69BB74E8720@example.com", append([]string{"DTSTAMP:20060205T235300Z", "DUE;TZID=US/Eastern:20060106T120000", "LAST-MODIFIED:20060205T235308Z", "SEQUENCE:1", "STATUS:NEEDS-ACTION", "SUMMARY:Task #2"}, alarm...)...)
	keep("abcd6.ics", "E10BA47467C5C69BB74E8722@example.com", "COMPLETED:20051223T122322Z", "DTSTAMP:20060205T235400Z", "DUE;VALUE=DATE:20051225", "LAST-MODIFIED:20060205T235308Z", "SEQUENCE:1", "STATUS:COMPLETED", "SUMMARY:Task #3")
	keep("abcd7.ics", "E10BA47467C5C69BB74E8725@example.com", "DTSTAMP:20060205T235600Z", "DUE;VALUE=DATE:20060101", "LAST-MODIFIED:20060205T235308Z", "SEQUENCE:1", "STATUS:CANCELLED", "SUMMARY:Task #4")
}

// The examples of RFC 4791 that ask about to-dos, and filters like them.
func TestFilters(t *testing.T) {
	four, five, six, seven := "abcd4.ics", "abcd5.ics", "abcd6.ics", "abcd7.ics"
	tests := []struct {
		name, inside string
		want         []string
	}{
		{"all to-dos", "", []string{four, five, six, seven}},
		{"7.8.5: by the time of alarms", `<C:comp-filter name="VALARM"><C:time-range start="20060106T100000Z" end="20060107T100000Z"/></C:comp-filter>`, []string{five}},
		{"7.8.9: all that is to do", `<C:prop-filter name="COMPLETED"><C:is-not-defined/></C:prop-filter><C:prop-filter name="STATUS"><C:text-match negate-condition="yes">CANCELLED</C:text-match></C:prop-filter>`, []string{four, five}},
		{"7.8.6: by UID", `<C:prop-filter name="UID"><C:text-match collation="i;octet">E10BA47467C5C69BB74E8722@example.com</C:text-match></C:prop-filter>`, []string{six}},
		{"without an alarm", `<C:comp-filter name="VALARM"><C:is-not-defined/></C:comp-filter>`, []string{six, seven}},
		{"with an alarm", `<C:comp-filter name="VALARM"/>`, []string{four, five}},
		{"with an alarm that shows", `<C:comp-filter name="VALARM"><C:prop-filter name="ACTION"><C:text-match>display</C:text-match></C:prop-filter></C:comp-filter>`, []string{}},
		{"a property is there", `<C:prop-filter name="last-modified"/>`, []string{five, six, seven}},
		{"letters of another case", `<C:prop-filter name="SUMMARY"><C:text-match>tASK #3</C:text-match></C:prop-filter>`, []string{six}},
		{"letters of another case, octets", `<C:prop-filter name="SUMMARY"><C:text-match collation="i;octet">tASK #3</C:text-match></C:prop-filter>`, []string{}},
		{"negated, where there is none", `<C:prop-filter name="LOCATION"><C:text-match negate-condition="yes">x</C:text-match></C:prop-filter>`, []string{}},
		{"a parameter is there", `<C:prop-filter name="DUE"><C:param-filter name="TZID"/></C:prop-filter>`, []string{five}},
		{"a parameter is not there", `<C:prop-filter name="DUE"><C:param-filter name="TZID"><C:is-not-defined/></C:param-filter></C:prop-filter>`, []string{four, six, seven}},
		{"a parameter's text", `<C:prop-filter name="DUE"><C:param-filter name="VALUE"><C:text-match>date</C:text-match></C:param-filter></C:prop-filter>`, []string{four, six, seven}},
		{"a parameter's text, negated", `<C:prop-filter name="DUE"><C:param-filter name="VALUE"><C:text-match negate-condition="yes">date</C:text-match></C:param-filter></C:prop-filter>`, []string{}},
		{"a property's time", `<C:prop-filter name="COMPLETED"><C:time-range start="20051223T122322Z" end="20051223T122323Z"/></C:prop-filter>`, []string{six}},
		{"a property's time, just after", `<C:prop-filter name="COMPLETED"><C:time-range start="20051223T122323Z"/></C:prop-filter>`, []string{}},
		{"a due date", `<C:prop-filter name="DUE"><C:time-range start="20060101T000000Z" end="20060105T000000Z"/></C:prop-filter>`, []string{four}},
		{"what an app has for itself has no time", `<C:prop-filter name="X-SUMMARY"><C:time-range start="20060101T000000Z"/></C:prop-filter>`, []string{}},
		{"two at once", `<C:time-range start="20060103T000000Z"/><C:prop-filter name="SUMMARY"><C:text-match>#1</C:text-match></C:prop-filter>`, []string{four}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKit(t)
			rfcTodos(t, k)
			if got := k.query(test.inside); !slices.Equal(got, test.want) {
				t.Errorf("got %v, want %v", got, test.want)
			}
		})
	}
}

// What a collection of to-dos answers to questions about calendars as a whole.
func TestFiltersOfCalendars(t *testing.T) {
	k := newKit(t)
	rfcTodos(t, k)
	for inside, want := range map[string]int{
		``:                               4,
		`<C:comp-filter name="VEVENT"/>`: 0,
		`<C:comp-filter name="VEVENT"><C:time-range start="20060101T000000Z"/></C:comp-filter>`: 0,
		`<C:comp-filter name="VEVENT"><C:is-not-defined/></C:comp-filter>`:                      4,
		`<C:comp-filter name="VTODO"><C:is-not-defined/></C:comp-filter>`:                       0,
		`<C:prop-filter name="VERSION"><C:text-match>2.0</C:text-match></C:prop-filter>`:        4,
		`<C:prop-filter name="METHOD"/>`:                                                        0,
	} {
		body := davXML("C:calendar-query", `<D:prop><D:getetag/></D:prop><C:filter><C:comp-filter name="VCALENDAR">`+inside+`</C:comp-filter></C:filter>`)
		if got := len(k.read(k.ask("REPORT", atCollection, body, "Depth", "1")).Responses); got != want {
			t.Errorf("%s matches %d, want %d", inside, got, want)
		}
	}
	all := davXML("C:calendar-query", `<C:filter><C:comp-filter name="VCALENDAR"/></C:filter>`)
	if got := len(k.read(k.ask("REPORT", atCollection, all, "Depth", "0")).Responses); got != 0 {
		t.Errorf("the collection itself matches %d times", got)
	}
	if got := len(k.read(k.ask("REPORT", atCollection, all)).Responses); got != 4 {
		t.Errorf("without a depth %d match", got)
	}
	m := k.read(k.ask("REPORT", atCollection+"abcd5.ics", all, "Depth", "0"))
	if len(m.Responses) != 1 || m.Responses[0].Status != "HTTP/1.1 200 OK" || len(m.Responses[0].Propstats) != 0 {
		t.Errorf("an object alone, asked for no property: %+v", m)
	}
}

// Texts are compared as people read them, with several values each for itself.
func TestTextOfProperties(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a.ics", vtodo("1", `SUMMARY:Descale\, rinse\; then\nwait C:\\`, `ATTENDEE;MEMBER="mailto:a@example.com","mailto:b@example.com":mailto:c@example.com`, "CATEGORIES:kitchen", "CATEGORIES:machine,Große Küche"))
	for inside, want := range map[string]bool{
		`<C:prop-filter name="SUMMARY"><C:text-match>Descale, rinse; then` + "\n" + `wait c:\</C:text-match></C:prop-filter>`:                  true,
		`<C:prop-filter name="SUMMARY"><C:text-match>\,</C:text-match></C:prop-filter>`:                                                        false,
		`<C:prop-filter name="CATEGORIES"><C:text-match>MACHINE</C:text-match></C:prop-filter>`:                                                true,
		`<C:prop-filter name="CATEGORIES"><C:text-match>große KÜCHE</C:text-match></C:prop-filter>`:                                            false, // no letters of ASCII
		`<C:prop-filter name="CATEGORIES"><C:text-match>große KüCHE</C:text-match></C:prop-filter>`:                                            true,
		`<C:prop-filter name="ATTENDEE"><C:param-filter name="MEMBER"><C:text-match>b@example</C:text-match></C:param-filter></C:prop-filter>`: true,
	} {
		if got := k.matchesOne(inside); got != want {
			t.Errorf("%s: %v, want %v", inside, got, want)
		}
	}
}

// Alarms that are set from the end, at a time, or repeat (RFC 5545, 3.8.6.3).
func TestAlarms(t *testing.T) {
	tests := []struct {
		name  string
		lines []string
		rings string // at this second, to be found, and not just after
	}{
		{"before the start", []string{"DTSTART:20260310T100000Z", "DUE:20260310T120000Z", "BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER:-PT15M", "END:VALARM"}, "20260310T094500Z"},
		{"before the end", []string{"DTSTART:20260310T100000Z", "DUE:20260310T120000Z", "BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER;RELATED=END:-P1D", "END:VALARM"}, "20260309T120000Z"},
		{"after the end of a duration", []string{"DTSTART:20260310T100000Z", "DURATION:PT1H", "BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER;RELATED=END:PT5M", "END:VALARM"}, "20260310T110500Z"},
		{"at a time", []string{"BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER;VALUE=DATE-TIME:20260401T060000Z", "END:VALARM"}, "20260401T060000Z"},
		{"again", []string{"DTSTART:20260310T100000Z", "BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER:PT0S", "REPEAT:3", "DURATION:PT1H", "END:VALARM"}, "20260310T130000Z"},
		{"of a later occurrence", []string{"DTSTART:20260310T100000Z", "RRULE:FREQ=WEEKLY", "BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER:-P2D", "END:VALARM"}, "20260315T100000Z"},
		{"the second of two", []string{"DTSTART:20260310T100000Z", "BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER:x", "END:VALARM", "BEGIN:VALARM", "ACTION:AUDIO", "TRIGGER:-PT1H", "END:VALARM"}, "20260310T090000Z"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKit(t)
			k.memory.keep(t, "a.ics", vtodo("1", test.lines...))
			second := strings.Replace(test.rings, "00Z", "01Z", 1)
			minute := strings.Replace(test.rings, "00Z", "59Z", 1)
			if !k.matchesOne(`<C:comp-filter name="VALARM"><C:time-range start="` + test.rings + `" end="` + second + `"/></C:comp-filter>`) {
				t.Errorf("it does not ring at %s", test.rings)
			}
			if k.matchesOne(`<C:comp-filter name="VALARM"><C:time-range start="` + second + `" end="` + minute + `"/></C:comp-filter>`) {
				t.Errorf("it rings after %s", second)
			}
		})
	}
}

// Filters that cannot be are refused by the condition that says so (RFC 4791, 7.8).
func TestBrokenFilters(t *testing.T) {
	valid, supported := nsCalDAV+" valid-filter", nsCalDAV+" supported-filter"
	tests := []struct{ inside, condition string }{
		{`<C:time-range/>`, valid},
		{`<C:time-range start="20260310T100000"/>`, valid},
		{`<C:time-range start="20260310"/>`, valid},
		{`<C:time-range start="20260310T100000Z" end="20260310T100000Z"/>`, valid},
		{`<C:prop-filter/>`, valid},
		{`<C:prop-filter name=""/>`, valid},
		{`<C:prop-filter name="DUE"><C:is-not-defined/><C:text-match>x</C:text-match></C:prop-filter>`, valid},
		{`<C:prop-filter name="DUE"><C:param-filter name="X"><C:is-not-defined/><C:text-match>x</C:text-match></C:param-filter></C:prop-filter>`, valid},
		{`<C:comp-filter name="VALARM"><C:is-not-defined/><C:prop-filter name="X"/></C:comp-filter>`, valid},
		{`<C:prop-filter name="DUE"><C:text-match negate-condition="maybe">x</C:text-match></C:prop-filter>`, valid},
		{`<C:prop-filter name="DUE"><C:text-match collation="i;klingon">x</C:text-match></C:prop-filter>`, nsCalDAV + " supported-collation"},
		{`<C:prop-filter name="DUE"><C:prop-filter name="X"/></C:prop-filter>`, valid},
		// The two examples of RFC 4791, 7.8, CALDAV:valid-filter, and others like them.
		{`<C:comp-filter name="VEVENT"/>`, valid},
		{`<C:prop-filter name="SUMMARY"><C:time-range start="20260310T100000Z"/></C:prop-filter>`, valid},
		{`<C:comp-filter name="VCALENDAR"/>`, valid},
		{`<C:comp-filter name="VALARM"><C:comp-filter name="VALARM"/></C:comp-filter>`, valid},
		{`<C:text-match>x</C:text-match>`, valid},
		{`<C:time-range start="20260310T100000Z"/><C:time-range start="20260311T100000Z"/>`, valid},
		{`<C:prop-filter name="DUE"><C:time-range start="20260310T100000Z"/><C:text-match>x</C:text-match></C:prop-filter>`, valid},
		{`<C:prop-filter name="DUE"><C:param-filter name="X"><C:text-match>x</C:text-match><C:text-match>y</C:text-match></C:param-filter></C:prop-filter>`, valid},
		{`<D:prop/>`, supported},
	}
	k := newKit(t)
	for _, test := range tests {
		if got := k.condition(k.expect(http.StatusForbidden, "REPORT", atCollection, queryXML(test.inside))); got != test.condition {
			t.Errorf("%s: %s, want %s", test.inside, got, test.condition)
		}
	}
	for inside, want := range map[string]string{
		``:            valid,
		`<C:filter/>`: valid,
		`<C:filter><C:comp-filter name="VTODO"/></C:filter>`:                                                                  valid,
		`<C:filter><C:comp-filter name="VCALENDAR"><C:time-range start="20260310T100000Z"/></C:comp-filter></C:filter>`:       supported,
		`<D:prop><C:calendar-data content-type="text/vcard"/></D:prop><C:filter><C:comp-filter name="VCALENDAR"/></C:filter>`: nsCalDAV + " supported-calendar-data",
		`<D:prop><C:calendar-data version="3.0"/></D:prop><C:filter><C:comp-filter name="VCALENDAR"/></C:filter>`:             nsCalDAV + " supported-calendar-data",
	} {
		if got := k.condition(k.expect(http.StatusForbidden, "REPORT", atCollection, davXML("C:calendar-query", inside))); got != want {
			t.Errorf("%s: %s, want %s", inside, got, want)
		}
	}
}
