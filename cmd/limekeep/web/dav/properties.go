package dav

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"net/http"
	"strconv"
	"strings"
)

// property is one that some kind of resource has.
type property struct {
	name xml.Name
	// all is whether DAV:allprop gives it: only what RFC 4918 itself defines,
	// as the later standards ask (RFC 4791, 5.2; RFC 6578, 4; RFC 3744, 5).
	all bool
}

var nameCalendarData = xml.Name{Space: nsCalDAV, Local: "calendar-data"}

// resource is something that has properties, each written out as an element,
// empty where the resource has not got it, in the order of its kind's layout.
type resource struct {
	layout   []property
	href     string // the DAV:href element
	elements []string
}

// resourceBuilder puts a resource together.
type resourceBuilder struct {
	layout   []property
	elements []string
}

func (l *resourceBuilder) add(all bool, space, local, inside string) {
	prefix := map[string]string{nsDAV: "D:", nsCalDAV: "C:", nsCalendarServer: "CS:", nsAppleICal: "A:"}[space]
	l.layout = append(l.layout, property{xml.Name{Space: space, Local: local}, all})
	element := "<" + prefix + local + ">" + inside + "</" + prefix + local + ">"
	if inside == "" {
		element = "<" + prefix + local + "/>"
	}
	l.elements = append(l.elements, element)
}

func (l *resourceBuilder) resource(path string) resource {
	return resource{layout: l.layout, href: hrefElement(path), elements: l.elements}
}

// text returns character data as XML.
func text(s string) string {
	var b bytes.Buffer
	escape(&b, s)
	return b.String()
}

// discovery adds what every resource tells, so that an app finds the collection
// from any of them (RFC 5397, 3; RFC 6764, 6).
func (l *resourceBuilder) discovery(p paths) {
	l.add(false, nsDAV, "current-user-principal", hrefElement(p.principal))
	l.add(false, nsDAV, "owner", hrefElement(p.principal))
	l.add(false, nsDAV, "principal-collection-set", hrefElement(p.root))
}

// privileges adds DAV:current-user-privilege-set (RFC 3744, 5.5).
func (l *resourceBuilder) privileges(names ...string) {
	var b strings.Builder
	for _, name := range names {
		b.WriteString("<D:privilege><D:" + name + "/></D:privilege>")
	}
	l.add(false, nsDAV, "current-user-privilege-set", b.String())
}

// reports adds DAV:supported-report-set (RFC 3253, 3.1.5).
func (l *resourceBuilder) reports(elements ...string) {
	var b strings.Builder
	for _, e := range elements {
		b.WriteString("<D:supported-report><D:report>" + e + "</D:report></D:supported-report>")
	}
	l.add(false, nsDAV, "supported-report-set", b.String())
}

func rootResource(p paths) resource {
	var l resourceBuilder
	l.add(true, nsDAV, "resourcetype", "<D:collection/>")
	l.add(true, nsDAV, "displayname", "limekeep")
	l.discovery(p)
	l.privileges("read")
	l.reports()
	return l.resource(p.root)
}

func principalResource(p paths, name string) resource {
	var l resourceBuilder
	l.add(true, nsDAV, "resourcetype", "<D:collection/><D:principal/>")
	l.add(true, nsDAV, "displayname", text(name))
	l.discovery(p)
	l.add(false, nsDAV, "principal-URL", hrefElement(p.principal))                // RFC 3744, 4.2
	l.add(false, nsCalDAV, "calendar-home-set", hrefElement(p.home))              // RFC 4791, 6.2.1
	l.add(false, nsCalDAV, "calendar-user-address-set", hrefElement(p.principal)) // RFC 6638, 2.4.1
	l.privileges("read")
	l.reports()
	return l.resource(p.principal)
}

func homeResource(p paths, name string) resource {
	var l resourceBuilder
	l.add(true, nsDAV, "resourcetype", "<D:collection/>")
	l.add(true, nsDAV, "displayname", text(name))
	l.discovery(p)
	l.privileges("read")
	l.reports()
	return l.resource(p.home)
}

func collectionResource(p paths, s *Snapshot) resource {
	var l resourceBuilder
	l.add(true, nsDAV, "resourcetype", "<D:collection/><C:calendar/>")
	l.add(true, nsDAV, "displayname", text(s.Name))
	l.discovery(p)
	// To write the content of what is there and to take it away is always
	// granted; what may not be changed in a to-do is for the collection to say.
	privileges := []string{"read", "write-content", "unbind"}
	if s.MayAdd {
		privileges = append(privileges, "bind")
	}
	l.privileges(privileges...)
	l.reports("<C:calendar-query/>", "<C:calendar-multiget/>", "<C:free-busy-query/>", "<D:sync-collection/>")
	token := text(syncToken(s))
	l.add(false, nsDAV, "sync-token", token)         // RFC 6578, 4
	l.add(false, nsCalendarServer, "getctag", token) // caldav-ctag, 5: opaque
	l.add(false, nsCalDAV, "calendar-description", text(s.Description))
	l.add(false, nsCalDAV, "supported-calendar-component-set", `<C:comp name="VTODO"/>`)
	l.add(false, nsCalDAV, "supported-calendar-data", `<C:calendar-data content-type="text/calendar" version="2.0"/>`)
	l.add(false, nsCalDAV, "max-resource-size", strconv.Itoa(mostObjectBytes))
	l.add(false, nsCalDAV, "supported-collation-set", "<C:supported-collation>"+collationASCII+"</C:supported-collation><C:supported-collation>"+collationOctet+"</C:supported-collation>")
	if s.Color != "" {
		l.add(false, nsAppleICal, "calendar-color", text(s.Color))
	}
	if len(s.Zone) > 0 {
		l.add(false, nsCalDAV, "calendar-timezone", text(string(s.Zone)))
	}
	return l.resource(p.collection)
}

func objectResource(p paths, o *Object) resource {
	var l resourceBuilder
	l.add(true, nsDAV, "resourcetype", "")
	l.add(true, nsDAV, "getetag", text(o.entityTag()))
	l.add(true, nsDAV, "getcontenttype", contentType)
	l.add(true, nsDAV, "getcontentlength", strconv.Itoa(len(o.Data)))
	l.add(true, nsDAV, "getlastmodified", o.Modified.UTC().Format(http.TimeFormat))
	l.discovery(p)
	l.privileges("read", "write-content")
	l.reports("<C:calendar-query/>", "<C:calendar-multiget/>")
	return l.resource(p.object(o.Name))
}

// selection is which properties of one layout a request is told of.
type selection struct {
	layout    []property
	indices   []int
	missing   string // elements of what this kind of resource never has
	all       bool
	namesOnly bool
	none      bool // addresses alone
}

// selectFor works out a selection. Calendar data is no property: in a report it is
// added by whoever answers, everywhere else there is none (RFC 4791, 9.6).
func selectFor(a propRequest, layout []property, inReport bool) *selection {
	p := &selection{layout: layout, all: a.form == allProps, namesOnly: a.form == propNames, none: a.form == addressesOnly}
	if p.all || p.namesOnly {
		for i, has := range layout {
			if has.all || p.namesOnly {
				p.indices = append(p.indices, i)
			}
		}
	}
	var missing bytes.Buffer
names:
	for _, name := range a.names {
		if inReport && name == nameCalendarData {
			continue
		}
		for i, has := range layout {
			if has.name == name {
				if !p.all || !has.all {
					p.indices = append(p.indices, i)
				}
				continue names
			}
		}
		writeName(&missing, name)
	}
	p.missing = missing.String()
	return p
}

// prefersMinimal reads the Prefer header (RFC 8144, 2.1; RFC 7240, 2).
func prefersMinimal(h http.Header) bool {
	for _, line := range h.Values("Prefer") {
		for item := range strings.SplitSeq(line, ",") {
			preference, _, _ := strings.Cut(item, ";")
			if strings.EqualFold(strings.ReplaceAll(strings.TrimSpace(preference), " ", ""), "return=minimal") {
				return true
			}
		}
	}
	return false
}

// depthOf reads a Depth header (RFC 4918, 10.2).
func depthOf(h http.Header, absent string) (string, error) {
	sent := strings.ToLower(strings.TrimSpace(h.Get("Depth")))
	switch sent {
	case "":
		return absent, nil
	case "0", "1", "infinity":
		return sent, nil
	}
	return "", &failure{http.StatusBadRequest, fmt.Sprintf("Depth is 0, 1 or infinity, not %q (RFC 4918, 10.2).", sent)}
}
