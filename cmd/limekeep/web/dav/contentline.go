package dav

import (
	"bytes"
	"iter"
	"strings"
)

// contentLine is one content line of a calendar (RFC 5545, 3.1) as it stands in
// the bytes, folded, with its line ends.
type contentLine struct {
	name string // in upper case
	raw  []byte
}

// contentLines goes through the lines that are not empty, folded where the
// decoder of go-ical sees them folded.
func contentLines(data []byte) iter.Seq[contentLine] {
	return func(yield func(contentLine) bool) {
		for len(data) > 0 {
			end := lineEnd(data, 0)
			for end < len(data) && (data[end] == ' ' || data[end] == '\t') {
				end = lineEnd(data, end)
			}
			raw := data[:end]
			data = data[end:]
			if len(bytes.Trim(raw, "\r\n")) == 0 {
				continue
			}
			l := contentLine{raw: raw}
			n := bytes.IndexAny(raw, ";:\n")
			if n >= 0 && raw[n] != '\n' {
				l.name = strings.ToUpper(string(raw[:n]))
			} else { // a name can be folded too
				head := l.unfolded()
				if n := strings.IndexAny(head, ";:"); n >= 0 {
					head = head[:n]
				}
				l.name = strings.ToUpper(head)
			}
			if !yield(l) {
				return
			}
		}
	}
}

// lineEnd returns where the line that starts at a place ends, after its line feed.
func lineEnd(data []byte, from int) int {
	if n := bytes.IndexByte(data[from:], '\n'); n >= 0 {
		return from + n + 1
	}
	return len(data)
}

// unfolded returns the line in one piece, without its end.
func (l contentLine) unfolded() string {
	if first := bytes.IndexByte(l.raw, '\n'); first < 0 || first == len(l.raw)-1 {
		return string(bytes.TrimSuffix(bytes.TrimSuffix(l.raw, []byte("\n")), []byte("\r")))
	}
	var b strings.Builder
	for i, part := range bytes.Split(bytes.TrimSuffix(l.raw, []byte("\n")), []byte("\n")) {
		part = bytes.TrimSuffix(part, []byte("\r"))
		if i > 0 && len(part) > 0 {
			part = part[1:]
		}
		b.Write(part)
	}
	return b.String()
}

// component returns the name of the component that a BEGIN or END is about.
func (l contentLine) component() string {
	text := l.unfolded()
	return strings.ToUpper(text[valueAt(text)+1:])
}

// valueAt returns where the colon before the value stands, outside quotes; -1
// where there is none.
func valueAt(text string) int {
	quoted := false
	for i := range len(text) {
		switch text[i] {
		case '"':
			quoted = !quoted
		case ':':
			if !quoted {
				return i
			}
		}
	}
	return -1
}
