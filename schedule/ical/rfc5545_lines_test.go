package ical

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// line is a content line, unfolded (3.1).
type line struct {
	number int // where it begins
	text   string
}

// lineEnd ends every line (3.1).
const crlf = "\r\n"

// unfold cuts a stream into content lines and checks what 3.1 says of them.
func (c *checker) unfold(data []byte) []line {
	if len(data) == 0 {
		return nil
	}
	var lines []line
	var text []byte
	begin := 0
	for number := 1; len(data) > 0; number++ {
		row, rest, ended := bytes.Cut(data, []byte(crlf))
		if !ended {
			c.fault(number, "3.1", "the last line has no end")
		}
		data = rest
		c.row(number, row)
		if len(row) > 0 && (row[0] == ' ' || row[0] == '\t') {
			if begin == 0 {
				c.fault(number, "3.1", "a continuation of nothing")
				begin = number
			}
			text = append(text, row[1:]...)
			continue
		}
		if begin > 0 {
			lines = append(lines, line{begin, string(text)})
		}
		text, begin = append(text[:0], row...), number
	}
	return append(lines, line{begin, string(text)})
}

// row checks a line as it stands in the stream.
func (c *checker) row(number int, row []byte) {
	const most = 75 // octets, the end not counted
	if len(row) > most {
		c.fault(number, "3.1", "%d octets in a line", len(row))
	}
	if len(row) == 0 {
		c.fault(number, "3.1", "an empty line")
	}
	// Lines are folded between characters, and the charset is UTF-8 (3.1, 3.1.4).
	if !utf8.Valid(row) {
		c.fault(number, "3.1", "not UTF-8, or a character was split")
	}
	for _, b := range row {
		if b < ' ' && b != '\t' || b == 0x7f {
			c.fault(number, "3.1", "control character %#02x", b)
			return
		}
	}
}

// prop is a property: name, parameters and value of a content line.
type prop struct {
	name   string
	line   int
	params []param
	value  string
}

type param struct {
	name   string
	values []string
}

// param gives the value of a parameter, empty where it is not there.
func (p prop) param(name string) string {
	for _, x := range p.params {
		if x.name == name && len(x.values) > 0 {
			return x.values[0]
		}
	}
	return ""
}

// prop reads a content line (the grammar of 3.1).
func (c *checker) prop(l line) (prop, bool) {
	p := prop{line: l.number}
	end := strings.IndexAny(l.text, ":;")
	if end < 0 {
		c.fault(l.number, "3.1", "no value: %.30q", l.text)
		return p, false
	}
	p.name = strings.ToUpper(l.text[:end])
	if !token(p.name) {
		c.fault(l.number, "3.1", "no name of a property: %.30q", p.name)
		return p, false
	}
	rest := l.text[end:]
	for rest[0] == ';' {
		name, after, found := strings.Cut(rest[1:], "=")
		if !found || !token(name) {
			c.fault(l.number, "3.1", "no parameter: %.30q", rest)
			return p, false
		}
		x := param{name: strings.ToUpper(name)}
		for again := true; again; {
			value, tail, ok := paramValue(after)
			if !ok || tail == "" {
				c.fault(l.number, "3.2", "no value of the parameter %s: %.30q", name, after)
				return p, false
			}
			x.values = append(x.values, value)
			if again = tail[0] == ','; again {
				after = tail[1:]
				continue
			}
			rest = tail
		}
		if rest[0] != ':' && rest[0] != ';' {
			c.fault(l.number, "3.2", "a parameter goes on after its value: %.30q", rest)
			return p, false
		}
		p.params = append(p.params, x)
	}
	p.value = rest[1:]
	return p, true
}

// paramValue reads one value of a parameter: between quotes, or up to what may
// not stand in it (3.2). A value that needs no quotes may be empty.
func paramValue(text string) (value, rest string, ok bool) {
	if strings.HasPrefix(text, `"`) {
		return strings.Cut(text[1:], `"`)
	}
	end := strings.IndexAny(text, `":;,`)
	if end < 0 || text[end] == '"' {
		return "", "", false
	}
	return text[:end], text[end:], true
}

// token tells whether a name is one: letters, digits and hyphens (3.1).
func token(name string) bool {
	for i := range len(name) {
		b := name[i]
		if !(b >= 'A' && b <= 'Z' || b >= 'a' && b <= 'z' || b >= '0' && b <= '9' || b == '-') {
			return false
		}
	}
	return name != ""
}
