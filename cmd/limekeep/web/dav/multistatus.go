package dav

import (
	"bytes"
	"encoding/xml"
	"net/http"
	"strconv"
)

const xmlHeader = `<?xml version="1.0" encoding="utf-8"?>` + "\n"

// namespaces declares the prefixes that everything written here uses.
const namespaces = ` xmlns:D="` + nsDAV + `" xmlns:C="` + nsCalDAV + `" xmlns:CS="` + nsCalendarServer + `" xmlns:A="` + nsAppleICal + `"`

// Fixed parts of a response with properties.
const (
	propstatOpen  = `<D:propstat><D:prop>`
	propstatFound = `</D:prop><D:status>HTTP/1.1 200 OK</D:status></D:propstat>`
	propstatNone  = `</D:prop><D:status>HTTP/1.1 404 Not Found</D:status></D:propstat>`
)

// multistatus puts together a DAV:multistatus (RFC 4918, 13) from parts that
// are XML already.
type multistatus struct {
	bytes.Buffer
	// minimal leaves out which properties are not there, for apps that say so
	// (RFC 8144, 2.1).
	minimal bool
}

func newMultistatus(r *http.Request) *multistatus {
	m := &multistatus{minimal: prefersMinimal(r.Header)}
	m.Grow(16 << 10)
	m.WriteString(xmlHeader)
	m.WriteString(`<D:multistatus` + namespaces + `>`)
	return m
}

// found tells the properties of a resource that are selected. The extra parts
// are elements of properties made for this answer alone.
func (m *multistatus) found(r *resource, p *selection, extra string) {
	m.WriteString("<D:response>")
	m.WriteString(r.href)
	if p.none {
		m.WriteString(`<D:status>HTTP/1.1 200 OK</D:status></D:response>`)
		return
	}
	missing := p.missing != ""
	m.WriteString(propstatOpen)
	for _, i := range p.indices {
		if r.elements[i] == "" {
			missing = true
			continue
		}
		if p.namesOnly {
			writeName(&m.Buffer, p.layout[i].name)
			continue
		}
		m.WriteString(r.elements[i])
	}
	m.WriteString(extra)
	m.WriteString(propstatFound)
	if missing && !m.minimal && !p.namesOnly && !p.all {
		m.WriteString(propstatOpen)
		m.WriteString(p.missing)
		for _, i := range p.indices {
			if r.elements[i] == "" {
				writeName(&m.Buffer, p.layout[i].name)
			}
		}
		m.WriteString(propstatNone)
	}
	m.WriteString("</D:response>")
}

// status tells the status of an address, and the condition that it comes from
// where that is not empty.
func (m *multistatus) status(path string, status int, condition Condition) {
	m.WriteString("<D:response>")
	m.WriteString(hrefElement(path))
	m.WriteString("<D:status>HTTP/1.1 " + strconv.Itoa(status) + " " + http.StatusText(status) + "</D:status>")
	if condition != "" {
		m.WriteString("<D:error>" + condition.element("") + "</D:error>")
	}
	m.WriteString("</D:response>")
}

// send ends the answer and sends it.
func (m *multistatus) send(w http.ResponseWriter) error {
	m.WriteString("</D:multistatus>\n")
	if m.minimal {
		w.Header().Set("Preference-Applied", "return=minimal")
	}
	w.Header().Set("Content-Length", strconv.Itoa(m.Len()))
	sendXML(w, http.StatusMultiStatus, m.Bytes())
	return nil
}

// hrefElement writes a percent-encoded path as DAV:href.
func hrefElement(path string) string {
	var b bytes.Buffer
	b.WriteString("<D:href>")
	escape(&b, path)
	b.WriteString("</D:href>")
	return b.String()
}

// escape writes text as character data.
func escape(b *bytes.Buffer, text string) {
	_ = xml.EscapeText(b, []byte(text)) // a buffer takes everything
}

// writeName writes an empty element of any name.
func writeName(b *bytes.Buffer, name xml.Name) {
	switch name.Space {
	case nsDAV:
		b.WriteString("<D:" + name.Local + "/>")
	case nsCalDAV:
		b.WriteString("<C:" + name.Local + "/>")
	case nsCalendarServer:
		b.WriteString("<CS:" + name.Local + "/>")
	case nsAppleICal:
		b.WriteString("<A:" + name.Local + "/>")
	case "":
		b.WriteString("<" + name.Local + "/>")
	default:
		b.WriteString("<X:" + name.Local + ` xmlns:X="`)
		escape(b, name.Space)
		b.WriteString(`"/>`)
	}
}
