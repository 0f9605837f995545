package ical

import (
	"bytes"
	"io"
	"unicode/utf8"
)

// lineFolder folds content lines at 75 octets (RFC 5545, 3.1) without ever
// splitting a character. The encoder hands over one whole line at a time.
type lineFolder struct {
	w io.Writer
}

// lineOctets is the most a line may hold, its end not counted.
const lineOctets = 75

func (f *lineFolder) Write(line []byte) (int, error) {
	body := bytes.TrimSuffix(line, []byte("\r\n"))
	var out bytes.Buffer
	room := lineOctets
	for len(body) > room {
		cut := room
		for cut > 0 && !utf8.RuneStart(body[cut]) {
			cut--
		}
		out.Write(body[:cut])
		out.WriteString("\r\n ")
		body = body[cut:]
		room = lineOctets - 1 // the space that marks a continuation counts
	}
	out.Write(body)
	out.WriteString("\r\n")
	if _, err := f.w.Write(out.Bytes()); err != nil {
		return 0, err
	}
	return len(line), nil
}
