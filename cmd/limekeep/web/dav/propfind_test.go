package dav

import (
	"encoding/xml"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// RFC 6764, 6: from any address, an app finds the principal, from there the home
// set (RFC 4791, 6.2.1) and from there the collection.
func TestDiscovery(t *testing.T) {
	k := newKit(t)
	inner := func(path, depth, space, local string) []string {
		var found []string
		m := k.read(k.ask("PROPFIND", path, davXML("D:propfind", "<D:prop><"+space+":"+local+"/></D:prop>"), "Depth", depth, "Content-Type", "text/xml"))
		for _, r := range m.Responses {
			e, status := r.prop(local)
			if status == "HTTP/1.1 200 OK" && len(e.Children) == 1 {
				found = append(found, e.Children[0].Text)
			}
		}
		return found
	}
	for _, path := range []string{"/", "/dav", atRoot, atPrincipal, atHome, atCollection} {
		if got := inner(path, "0", "D", "current-user-principal"); !slices.Equal(got, []string{atPrincipal}) {
			t.Errorf("%s leads to %v", path, got)
		}
	}
	if got := inner(atPrincipal, "0", "C", "calendar-home-set"); !slices.Equal(got, []string{atHome}) {
		t.Errorf("the home set is %v", got)
	}
	m := k.read(k.ask("PROPFIND", atHome, davXML("D:propfind", "<D:prop><D:resourcetype/><C:supported-calendar-component-set/></D:prop>"), "Depth", "1"))
	var calendars []string
	for _, r := range m.Responses {
		kind, _ := r.prop("resourcetype")
		if strings.Contains(kind.Inner, "calendar") {
			components, _ := r.prop("supported-calendar-component-set")
			if !strings.Contains(components.Inner, `name="VTODO"`) || strings.Contains(components.Inner, "VEVENT") {
				t.Errorf("%s holds %s", r.Href, components.Inner)
			}
			calendars = append(calendars, r.Href)
		}
	}
	if !slices.Equal(calendars, []string{atCollection}) {
		t.Errorf("collections: %v", calendars)
	}
}

// Which resources a depth covers (RFC 4918, 10.2); hrefs are paths, encoded.
func TestDepth(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a & ü.ics", vtodo("1"))
	k.memory.keep(t, "b.ics", vtodo("2"))
	tests := []struct {
		path, depth string
		want        []string
	}{
		{atRoot, "0", []string{atRoot}},
		{atRoot, "1", []string{atRoot, atPrincipal}},
		{atPrincipal, "1", []string{atPrincipal, atHome}},
		{atHome, "0", []string{atHome}},
		{atHome, "1", []string{atHome, atCollection}},
		{atCollection, "0", []string{atCollection}},
		{strings.TrimSuffix(atCollection, "/"), "0", []string{atCollection}},
		{atCollection, "1", []string{atCollection, atCollection + "a%20&%20%C3%BC.ics", atCollection + "b.ics"}},
		{atCollection + "b.ics", "0", []string{atCollection + "b.ics"}},
		{atCollection + "b.ics", "1", []string{atCollection + "b.ics"}},
	}
	for _, test := range tests {
		m := k.read(k.ask("PROPFIND", test.path, "", "Depth", test.depth))
		var got []string
		for _, r := range m.Responses {
			got = append(got, r.Href)
		}
		if diff := cmp.Diff(test.want, got); diff != "" {
			t.Errorf("%s with depth %s: %s", test.path, test.depth, diff)
		}
	}
	for _, depth := range []string{"infinity", ""} { // RFC 4918, 9.1: no header means infinity
		headers := []string{"Depth", depth}
		if depth == "" {
			headers = nil
		}
		w := k.expect(http.StatusForbidden, "PROPFIND", atCollection, "", headers...)
		if got := k.condition(w); got != "DAV: propfind-finite-depth" {
			t.Errorf("depth %q: %s", depth, got)
		}
	}
	// RFC 4918, 10.2: of an object infinity is no deeper than 0.
	for _, headers := range [][]string{nil, {"Depth", "infinity"}} {
		if m := k.read(k.ask("PROPFIND", atCollection+"b.ics", "", headers...)); len(m.Responses) != 1 || m.Responses[0].Href != atCollection+"b.ics" {
			t.Errorf("an object with the headers %v: %+v", headers, m)
		}
	}
	k.expect(http.StatusBadRequest, "PROPFIND", atCollection, "", "Depth", "2")
	k.expect(http.StatusNotFound, "PROPFIND", atCollection+"c.ics", "", "Depth", "0")
	k.expect(http.StatusNotFound, "PROPFIND", "/dav/pantry/", "", "Depth", "0")
}

// Every property of the collection and of an object, as another reader has it.
func TestProperties(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a.ics", vtodo("1", "SUMMARY:a"))
	o := k.memory.find("a.ics")
	names := `<D:prop><D:resourcetype/><D:displayname/><D:owner/><D:current-user-privilege-set/><D:supported-report-set/>
		<D:sync-token/><D:getetag/><D:getcontenttype/><D:getcontentlength/><D:getlastmodified/><D:principal-URL/><D:principal-collection-set/>
		<CS:getctag/><C:calendar-description/><C:supported-calendar-component-set/><C:supported-calendar-data/>
		<C:max-resource-size/><C:calendar-timezone/><C:supported-collation-set/><C:calendar-user-address-set/>
		<C:calendar-data/><A:calendar-color xmlns:A="http://apple.com/ns/ical/"/><odd xmlns=""/><o:odd xmlns:o='"&lt;&amp;'/></D:prop>`
	const token = "urn:limekeep:sync:e%3A1+%C3%A4:2"
	privilege := func(names ...string) string {
		var b strings.Builder
		for _, n := range names {
			b.WriteString("<D:privilege><D:" + n + "/></D:privilege>")
		}
		return b.String()
	}
	reports := func(names ...string) string {
		var b strings.Builder
		for _, n := range names {
			b.WriteString("<D:supported-report><D:report><" + n + "/></D:report></D:supported-report>")
		}
		return b.String()
	}
	principal := "<D:href>" + atPrincipal + "</D:href>"
	tests := []struct {
		path string
		text map[string]string // decoded
		xml  map[string]string
		not  []string
	}{
		{
			path: atCollection,
			text: map[string]string{
				"displayname": k.memory.snapshot.Name, "calendar-description": k.memory.snapshot.Description,
				"sync-token": token, "getctag": token, "max-resource-size": "65536",
				"calendar-timezone": viennaZone,
			},
			xml: map[string]string{
				"resourcetype": "<D:collection/><C:calendar/>", "owner": principal,
				"current-user-privilege-set":       privilege("read", "write-content", "unbind", "bind"),
				"supported-report-set":             reports("C:calendar-query", "C:calendar-multiget", "C:free-busy-query", "D:sync-collection"),
				"supported-calendar-component-set": `<C:comp name="VTODO"/>`,
				"supported-calendar-data":          `<C:calendar-data content-type="text/calendar" version="2.0"/>`,
				"supported-collation-set":          "<C:supported-collation>i;ascii-casemap</C:supported-collation><C:supported-collation>i;octet</C:supported-collation>",
				"principal-collection-set":         "<D:href>/dav/</D:href>",
			},
			not: []string{"getetag", "getcontenttype", "getcontentlength", "getlastmodified", "principal-URL", "calendar-user-address-set", "calendar-data", "calendar-color", "odd"},
		},
		{
			path: atCollection + "a.ics",
			text: map[string]string{
				"getetag": `"` + o.ETag + `"`, "getcontenttype": "text/calendar; charset=utf-8; component=VTODO",
				"getcontentlength": strconv.Itoa(len(o.Data)), "getlastmodified": "Mon, 02 Mar 2026 09:01:00 GMT",
			},
			xml: map[string]string{
				"resourcetype": "", "owner": principal, "current-user-privilege-set": privilege("read", "write-content"),
				"supported-report-set": reports("C:calendar-query", "C:calendar-multiget"),
			},
			not: []string{"displayname", "sync-token", "getctag", "calendar-data", "calendar-color", "odd", "calendar-timezone"},
		},
		{
			path: atPrincipal,
			xml: map[string]string{
				"resourcetype": "<D:collection/><D:principal/>", "principal-URL": principal, "calendar-user-address-set": principal,
				"current-user-privilege-set": privilege("read"), "supported-report-set": "",
			},
			not: []string{"sync-token", "getctag", "getetag", "calendar-data"},
		},
	}
	for _, test := range tests {
		m := k.read(k.ask("PROPFIND", test.path, davXML("D:propfind", names), "Depth", "0", "Content-Type", "application/xml; charset=utf-8"))
		if len(m.Responses) != 1 {
			t.Fatalf("%s: %d responses", test.path, len(m.Responses))
		}
		for name, want := range test.text {
			if got, status := m.Responses[0].prop(name); got.Text != want || status != "HTTP/1.1 200 OK" {
				t.Errorf("%s: %s is %q (%s), want %q", test.path, name, got.Text, status, want)
			}
		}
		for name, want := range test.xml {
			if got, status := m.Responses[0].prop(name); got.Inner != want || status != "HTTP/1.1 200 OK" {
				t.Errorf("%s: %s is %s (%s), want %s", test.path, name, got.Inner, status, want)
			}
		}
		for _, name := range test.not {
			if got, status := m.Responses[0].prop(name); status != "HTTP/1.1 404 Not Found" || got.Inner != "" {
				t.Errorf("%s: %s is %q (%s), want 404", test.path, name, got.Inner, status)
			}
		}
		odd := 0
		for _, e := range m.Responses[0].Propstats[1].Prop.Children {
			if e.XMLName == (xml.Name{Local: "odd"}) || e.XMLName == (xml.Name{Space: `"<&`, Local: "odd"}) {
				odd++
			}
		}
		if odd != 2 {
			t.Errorf("%s: the odd namespaces were not kept", test.path)
		}
	}
	k.memory.snapshot.MayAdd = false
	k.memory.keep(t, "b.ics", vtodo("2"))
	m := k.read(k.ask("PROPFIND", atCollection, davXML("D:propfind", "<D:prop><D:current-user-privilege-set/></D:prop>"), "Depth", "0"))
	if got, _ := m.Responses[0].prop("current-user-privilege-set"); got.Inner != privilege("read", "write-content", "unbind") {
		t.Errorf("where nothing is added: %s", got.Inner)
	}
}

// RFC 4918, 9.1.4 and 9.1.5: names alone, and all properties of RFC 4918 with
// others beside them, each once.
func TestAllpropAndPropname(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a.ics", vtodo("1"))
	list := func(body string) (names []string, values int) {
		m := k.read(k.ask("PROPFIND", atCollection+"a.ics", body, "Depth", "0"))
		if len(m.Responses[0].Propstats) != 1 {
			t.Fatalf("%d propstats for %s", len(m.Responses[0].Propstats), body)
		}
		for _, e := range m.Responses[0].Propstats[0].Prop.Children {
			names = append(names, e.XMLName.Local)
			if e.Inner != "" {
				values++
			}
		}
		return names, values
	}
	all := []string{"resourcetype", "getetag", "getcontenttype", "getcontentlength", "getlastmodified"}
	for _, body := range []string{"", davXML("D:propfind", "<D:allprop/>")} {
		if got, _ := list(body); !slices.Equal(got, all) {
			t.Errorf("%q gives %v", body, got)
		}
	}
	if got, _ := list(davXML("D:propfind", "<D:allprop/><D:include><D:owner/><D:getetag/><D:nothing/></D:include>")); !slices.Equal(got, append(slices.Clone(all), "owner")) {
		t.Errorf("included: %v", got)
	}
	names, values := list(davXML("D:propfind", "<D:propname/>"))
	if values != 0 || !slices.Contains(names, "supported-report-set") || !slices.Contains(names, "getetag") {
		t.Errorf("names alone: %v with %d values", names, values)
	}
	if got, _ := list(davXML("D:propfind", "<D:prop><D:getetag/><D:getetag/></D:prop>")); !slices.Equal(got, []string{"getetag"}) {
		t.Errorf("asked twice: %v", got)
	}
}

// RFC 8144, 2.1: an app that prefers little is not told what is not there.
func TestMinimal(t *testing.T) {
	k := newKit(t)
	body := davXML("D:propfind", "<D:prop><D:displayname/><D:getetag/><D:nothing/></D:prop>")
	full := k.read(k.ask("PROPFIND", atCollection, body, "Depth", "0"))
	w := k.ask("PROPFIND", atCollection, body, "Depth", "0", "Prefer", "respond-async, return=minimal")
	few := k.read(w)
	if len(full.Responses[0].Propstats) != 2 || len(few.Responses[0].Propstats) != 1 || w.Header().Get("Preference-Applied") != "return=minimal" {
		t.Errorf("full %d, few %d, %v", len(full.Responses[0].Propstats), len(few.Responses[0].Propstats), w.Header())
	}
}

// Bodies that cannot be read are refused, and none of them does harm.
func TestBrokenXML(t *testing.T) {
	tests := []struct {
		name, body, media string
		want              int
	}{
		{"no XML", "hello", "text/xml", 400},
		{"cut off", "<D:propfind xmlns:D='DAV:'>", "text/xml", 400},
		{"two elements", "<a/><b/>", "text/xml", 400},
		{"another element", davXML("D:mkcol", ""), "text/xml", 400},
		{"asks for nothing", davXML("D:propfind", ""), "text/xml", 400},
		{"asks for two things", davXML("D:propfind", "<D:allprop/><D:propname/>"), "text/xml", 400},
		{"a prefix without a namespace", "<D:propfind xmlns:D='DAV:'><D:prop><x:y/></D:prop></D:propfind>", "text/xml", 400},
		{"a prefix with an empty one", "<D:propfind xmlns:D='DAV:'><D:prop><x:y xmlns:x=''/></D:prop></D:propfind>", "text/xml", 400},
		{"a namespace that has ended", "<D:propfind xmlns:D='DAV:'><D:prop><x:y xmlns:x='z:'/><x:y/></D:prop></D:propfind>", "text/xml", 400},
		{"two colons", "<D:propfind xmlns:D='DAV:'><D:prop><D:x:y/></D:prop></D:propfind>", "text/xml", 400},
		{"a document type", "<!DOCTYPE a><D:propfind xmlns:D='DAV:'><D:allprop/></D:propfind>", "text/xml", 403},
		{"an entity", "<!DOCTYPE a [<!ENTITY e SYSTEM 'file:///etc/passwd'>]><D:propfind xmlns:D='DAV:'><D:prop>&e;</D:prop></D:propfind>", "text/xml", 403},
		{"an entity without a declaration", "<D:propfind xmlns:D='DAV:'><D:prop>&e;</D:prop></D:propfind>", "text/xml", 400},
		{"another encoding", "<?xml version='1.0' encoding='utf-16'?><D:propfind xmlns:D='DAV:'><D:allprop/></D:propfind>", "text/xml", 400},
		{"too deep", davXML("D:propfind", strings.Repeat("<a>", 100)+strings.Repeat("</a>", 100)), "text/xml", 400},
		{"too many elements", davXML("D:propfind", "<D:prop>"+strings.Repeat("<a/>", 30000)+"</D:prop>"), "text/xml", 400},
		{"too many properties", davXML("D:propfind", "<D:prop>"+strings.Repeat("<a/>", 10)+manyNames(300)+"</D:prop>"), "text/xml", 400},
		{"too large", davXML("D:propfind", strings.Repeat(" ", mostXMLBytes)), "text/xml", 413},
		{"another media type", davXML("D:propfind", "<D:allprop/>"), "application/json", 415},
		{"no media type", davXML("D:propfind", "<D:allprop/>"), "", 207},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKit(t)
			headers := []string{"Depth", "0", "Content-Type", test.media}
			if test.media == "" {
				headers = headers[:2]
			}
			k.expect(test.want, "PROPFIND", atCollection, test.body, headers...)
		})
	}
}

func manyNames(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString("<a" + strings.Repeat("b", i) + "/>")
	}
	return b.String()
}

// RFC 4918, 9.2.1: an app that sets a property reads of each that it stays.
func TestProppatch(t *testing.T) {
	k := newKit(t)
	body := davXML("D:propertyupdate", `<D:set><D:prop><D:displayname>Mine</D:displayname></D:prop></D:set><D:set><D:prop><A:calendar-color xmlns:A="http://apple.com/ns/ical/">#FF0000</A:calendar-color></D:prop></D:set><D:remove><D:prop><C:calendar-description/></D:prop></D:remove>`)
	m := k.read(k.ask("PROPPATCH", atCollection, body))
	for _, name := range []string{"displayname", "calendar-color", "calendar-description"} {
		if _, status := m.Responses[0].prop(name); status != "HTTP/1.1 403 Forbidden" {
			t.Errorf("%s: %q", name, status)
		}
	}
	k.expect(http.StatusBadRequest, "PROPPATCH", atCollection, "")
	k.expect(http.StatusBadRequest, "PROPPATCH", atCollection, davXML("D:propertyupdate", ""))
	k.expect(http.StatusNotFound, "PROPPATCH", atCollection+"none.ics", body)
}

// The colour in which apps show the collection, which no standard has.
func TestColor(t *testing.T) {
	k := newKit(t)
	k.memory.snapshot.Color = "#008080FF"
	m := k.read(k.ask("PROPFIND", atCollection, davXML("D:propfind", `<D:prop><A:calendar-color xmlns:A="http://apple.com/ns/ical/"/></D:prop>`), "Depth", "0"))
	if got, status := m.Responses[0].prop("calendar-color"); got.Text != "#008080FF" || got.XMLName.Space != "http://apple.com/ns/ical/" || status != "HTTP/1.1 200 OK" {
		t.Errorf("it is %q in %q (%s)", got.Text, got.XMLName.Space, status)
	}
}
