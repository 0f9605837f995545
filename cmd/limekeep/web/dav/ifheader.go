package dav

import (
	"net/http"
	"strings"
)

// ifHeader is an If header (RFC 4918, 10.4): lists of conditions, of which one has to
// hold. There are no locks here, so that the only state tokens are sync tokens
// (RFC 6578, 5).
type ifHeader []ifList

// ifList holds where all its conditions do.
type ifList struct {
	resource   string // percent-encoded path; empty for that of the request
	conditions []ifCondition
}

// ifCondition asks for a state token or an entity tag.
type ifCondition struct {
	not        bool
	token, tag string // one of them; the tag with its quotes
}

// ifHeaderOf reads the header, nil where there is none.
func ifHeaderOf(h http.Header) (ifHeader, error) {
	text := strings.TrimSpace(strings.Join(h.Values("If"), " "))
	if text == "" {
		return nil, nil
	}
	bad := &failure{http.StatusBadRequest, "The If header cannot be read (RFC 4918, 10.4)."}
	var all ifHeader
	resource := ""
	for text != "" {
		switch text[0] {
		case '<':
			href, after, ok := strings.Cut(text[1:], ">")
			path, isURI := pathOf(href)
			if !ok || !isURI {
				return nil, bad
			}
			resource, text = path, after
		case '(':
			list, after, ok := ifConditions(text[1:])
			if !ok {
				return nil, bad
			}
			all = append(all, ifList{resource, list})
			text = after
		default:
			return nil, bad
		}
		text = strings.TrimLeft(text, " \t")
	}
	if len(all) == 0 {
		return nil, bad
	}
	return all, nil
}

// ifConditions reads a list up to its closing bracket, and returns what comes after.
func ifConditions(text string) (list []ifCondition, after string, ok bool) {
	for {
		text = strings.TrimLeft(text, " \t")
		if after, ok := strings.CutPrefix(text, ")"); ok {
			return list, after, len(list) > 0
		}
		var c ifCondition
		if len(text) > 3 && strings.EqualFold(text[:3], "Not") {
			c.not = true
			text = strings.TrimLeft(text[3:], " \t")
		}
		switch {
		case strings.HasPrefix(text, "<"):
			c.token, text, ok = strings.Cut(text[1:], ">")
		case strings.HasPrefix(text, "["):
			c.tag, text, ok = strings.Cut(text[1:], "]")
		default:
			return nil, "", false
		}
		if !ok {
			return nil, "", false
		}
		list = append(list, c)
	}
}

// holds reports whether one of the lists holds. Own is the object of the request, nil
// where there is none; others are as the snapshot has them.
func (header ifHeader) holds(p paths, s *rendered, to target, own *Object) bool {
	for _, list := range header {
		object, at := own, to
		if list.resource != "" {
			if at = p.find(list.resource); at != to {
				object = nil
				if o := s.find(at.name); o != nil {
					object = o.Object
				}
			}
		}
		if list.holds(s, at, object) {
			return true
		}
	}
	return false
}

func (list ifList) holds(s *rendered, at target, o *Object) bool {
	for _, c := range list.conditions {
		met := c.tag != "" && namesTag(c.tag, o, false)
		if c.token != "" {
			met = at.kind == collection && c.token == syncToken(s.Snapshot)
		}
		if met == c.not {
			return false
		}
	}
	return true
}
