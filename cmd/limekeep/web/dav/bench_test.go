package dav

import (
	"fmt"
	"net/http"
	"testing"
)

// hundred fills a collection like that of a well-equipped place.
func hundred(b *testing.B) *kit {
	k := newKit(b)
	for i := range 100 {
		lines := []string{
			"SUMMARY:Descale the steam boiler (machine)", fmt.Sprintf("DUE;TZID=Europe/Vienna:202603%02dT100000", i%28+1), "STATUS:NEEDS-ACTION", "CATEGORIES:machine",
			"DESCRIPTION:BEFORE YOU START\\n- Steam burns\\; keep clear\\, always.\\n\\nMAKE SAFE\\, IN THIS ORDER\\n1. Switch off.\\n2. Wait until it is cold to the touch.\\n3. Close the water.",
			"BEGIN:VALARM", "ACTION:DISPLAY", "DESCRIPTION:Tomorrow", "TRIGGER:-P1D", "END:VALARM",
		}
		if i%20 == 0 {
			lines = append(lines, "RRULE:FREQ=DAILY")
		}
		k.memory.keep(b, fmt.Sprintf("machine.descale.steam.%03d.ics", i), vtodo(fmt.Sprintf("%d@limekeep", i), lines...))
	}
	return k
}

func (k *kit) repeat(b *testing.B, want int, method, path, body string) {
	k.expect(want, method, path, body, "Depth", "1") // renders the snapshot
	b.ReportAllocs()
	for b.Loop() {
		if w := k.ask(method, path, body, "Depth", "1"); w.Code != want {
			b.Fatal(w.Code)
		}
	}
}

func BenchmarkPropfind(b *testing.B) {
	hundred(b).repeat(b, http.StatusMultiStatus, "PROPFIND", atCollection, davXML("D:propfind", "<D:prop><D:resourcetype/><D:getetag/><D:getcontenttype/><D:nothing/></D:prop>"))
}

func BenchmarkReport(b *testing.B) {
	pending := `<C:filter><C:comp-filter name="VCALENDAR"><C:comp-filter name="VTODO">%s</C:comp-filter></C:comp-filter></C:filter>`
	for name, filter := range map[string]string{
		"all":   "",
		"range": `<C:time-range start="20260310T000000Z" end="20260410T000000Z"/>`,
		"toDo":  `<C:prop-filter name="COMPLETED"><C:is-not-defined/></C:prop-filter><C:prop-filter name="STATUS"><C:text-match negate-condition="yes">CANCELLED</C:text-match></C:prop-filter>`,
	} {
		b.Run(name, func(b *testing.B) {
			hundred(b).repeat(b, http.StatusMultiStatus, "REPORT", atCollection, davXML("C:calendar-query", "<D:prop><D:getetag/><C:calendar-data/></D:prop>"+fmt.Sprintf(pending, filter)))
		})
	}
	b.Run("sync", func(b *testing.B) {
		hundred(b).repeat(b, http.StatusMultiStatus, "REPORT", atCollection, syncXML("", 0))
	})
	b.Run("part", func(b *testing.B) {
		hundred(b).repeat(b, http.StatusMultiStatus, "REPORT", atCollection, davXML("C:calendar-query", `<D:prop><C:calendar-data><C:comp name="VCALENDAR"><C:comp name="VTODO"><C:prop name="UID"/><C:prop name="SUMMARY"/></C:comp></C:comp></C:calendar-data></D:prop>`+fmt.Sprintf(pending, "")))
	})
}

func BenchmarkGet(b *testing.B) {
	hundred(b).repeat(b, http.StatusOK, "GET", atCollection+"machine.descale.steam.050.ics", "")
}

// BenchmarkRender is what the first request after a change waits for.
func BenchmarkRender(b *testing.B) {
	k := hundred(b)
	for b.Loop() {
		s := render(newPaths("/dav", "kitchen"), k.memory.snapshot, &zones{})
		for i := range s.objects {
			s.objects[i].times(s.zones)
		}
	}
}
