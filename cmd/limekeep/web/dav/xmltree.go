package dav

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"

	"limekeep/cmd/limekeep/foreign"
)

// node is an element of a request's body.
type node struct {
	name     xml.Name
	attrs    []xml.Attr
	text     []byte
	children []*node
}

// Namespaces of the elements.
const (
	nsDAV            = "DAV:"
	nsCalDAV         = "urn:ietf:params:xml:ns:caldav"
	nsCalendarServer = "http://calendarserver.org/ns/"
	nsAppleICal      = "http://apple.com/ns/ical/" // where calendar-color is, which no standard has
)

// Bounds to a request's body.
const (
	mostXMLBytes = 1 << 20
	mostXMLDepth = 32
	mostElements = 20000
)

// child returns the first child of a name, nil where there is none.
func (n *node) child(space, local string) *node {
	for _, c := range n.children {
		if c.is(space, local) {
			return c
		}
	}
	return nil
}

func (n *node) is(space, local string) bool {
	return n.name.Space == space && n.name.Local == local
}

// attr returns an attribute without a namespace.
func (n *node) attr(local string) (value string, ok bool) {
	for _, a := range n.attrs {
		if a.Name.Space == "" && a.Name.Local == local {
			return a.Value, true
		}
	}
	return "", false
}

// readBody reads the element that a request carries, nil where it carries none.
func readBody(w http.ResponseWriter, r *http.Request) (*node, error) {
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostXMLBytes))
	if err != nil {
		return nil, readFailure(err)
	}
	if len(body) == 0 {
		return nil, nil
	}
	// Apps that send no type mean XML: nothing else can be sent here.
	if sent := r.Header.Get("Content-Type"); sent != "" {
		if media, _, err := mime.ParseMediaType(sent); err != nil || media != "application/xml" && media != "text/xml" {
			return nil, &failure{http.StatusUnsupportedMediaType, fmt.Sprintf("This request carries application/xml, not %q (RFC 4918, 8.2).", sent)}
		}
	}
	if r.Header.Get("Content-Encoding") != "" {
		return nil, &failure{http.StatusUnsupportedMediaType, "This request carries XML without a content coding."}
	}
	return readXML(bytes.NewReader(body))
}

// readXML reads one element with namespaces. A document type, and so every
// entity of its own, is refused; so is a prefix without a namespace (RFC 4918,
// 8.2, "namespace-well-formed"), which the decoder would let through.
func readXML(from io.Reader) (*node, error) {
	broken := func(why string) error {
		return &failure{http.StatusBadRequest, "The XML of this request cannot be read: " + why + "."}
	}
	decoder := xml.NewDecoder(from)
	// Of a prefix without a namespace the decoder makes a namespace of the same
	// name, so it is enough to know which there are.
	declared := map[string]bool{}
	var top *node
	var open []*node
	elements := 0
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, broken(foreign.InOurWords(err))
		}
		switch t := token.(type) {
		case xml.Directive:
			return nil, &Refusal{noExternalEntities, "A document type is not read here."}
		case xml.StartElement:
			if top != nil && len(open) == 0 {
				return nil, broken("there is more than one element")
			}
			if len(open) == mostXMLDepth {
				return nil, broken(fmt.Sprintf("elements lie deeper than %d in each other", mostXMLDepth))
			}
			if elements++; elements > mostElements {
				return nil, broken(fmt.Sprintf("there are more than %d elements", mostElements))
			}
			n := &node{name: t.Name, attrs: append([]xml.Attr(nil), t.Attr...)}
			for _, a := range t.Attr {
				if isDeclaration(a.Name) {
					if a.Value == "" && a.Name.Space != "" {
						return nil, broken("a prefix has an empty namespace")
					}
					declared[a.Value] = true
				}
			}
			if strings.Contains(t.Name.Local, ":") || t.Name.Space != "" && !declared[t.Name.Space] {
				return nil, broken(fmt.Sprintf("the prefix of %s has no namespace", t.Name.Local))
			}
			if len(open) > 0 {
				up := open[len(open)-1]
				up.children = append(up.children, n)
			} else {
				top = n
			}
			open = append(open, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				open[len(open)-1].text = append(open[len(open)-1].text, t...)
			}
		}
	}
	if top == nil {
		return nil, broken("there is no element")
	}
	return top, nil
}

func isDeclaration(name xml.Name) bool {
	return name.Space == "xmlns" || name.Space == "" && name.Local == "xmlns"
}
