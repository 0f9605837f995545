package ical

import (
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"
)

// What some programs make of texts differs from what RFC 5545, 3.3.11 says.
// These functions do exactly what they do, so that all else is compared.

// escape writes a text as RFC 5545, 3.3.11 says.
func escape(text string) string {
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`).Replace(text)
}

// inOrder replaces all of one string after the other, as programs do that do not
// read an escaped text from left to right. A backslash that stands for itself is
// then taken together with what follows it.
func inOrder(text string, pairs ...string) string {
	for i := 0; i < len(pairs); i += 2 {
		text = strings.ReplaceAll(text, pairs[i], pairs[i+1])
	}
	return text
}

// icalendarValue is what icalendar 4.0.3 keeps of a content line's value before
// it looks at its type (parser.py, escape_string and unescape_string): texts such
// as %2C stand for a comma.
func icalendarValue(value string) string {
	value = inOrder(value, `\,`, "%2C", `\:`, "%3A", `\;`, "%3B", `\\`, "%5C")
	return inOrder(value, "%2C", ",", "%3A", ":", "%3B", ";", "%5C", `\`)
}

// icalendarText is what icalendar 4.0.3 makes of a text (parser.py,
// unescape_char).
func icalendarText(_, text string) string {
	return inOrder(icalendarValue(escape(text)), `\N`, `\n`, "\r\n", "\n", `\n`, "\n", `\,`, ",", `\;`, ";", `\\`, `\`)
}

// icalendarCategories is what icalendar 4.0.3 makes of a category (prop.py,
// vCategory.from_ical): it is split at its own commas as well.
func icalendarCategories(name string) []string { return strings.Split(icalendarText("", name), ",") }

var (
	nodeicalNewline = regexp.MustCompile(`\\[nN]`)
	nodeicalQuotes  = regexp.MustCompile(`\A"([^\n]*)"\z`)
)

// nodeicalValue is what node-ical 0.25 keeps of a content line's value (ical.js,
// parseLines): of a line with TZID= anywhere in it the quotes are taken away.
func nodeicalValue(property, text string) string {
	value := escape(text)
	if line := property + ":" + value; strings.Contains(line, "TZID=") && !strings.Contains(line, `"(`) {
		value = strings.ReplaceAll(value, `"`, "")
	}
	return value
}

// nodeicalText is what node-ical 0.25 makes of a text (ical.js, text): quotes
// around it are taken away.
func nodeicalText(property, text string) string {
	value := inOrder(nodeicalValue(property, text), `\,`, ",", `\;`, ";")
	value = inOrder(nodeicalNewline.ReplaceAllLiteralString(value, "\n"), `\\`, `\`)
	return nodeicalQuotes.ReplaceAllString(value, "$1")
}

// nodeicalCategories is what node-ical 0.25 makes of a category (ical.js,
// categoriesParameter): it stays escaped, is split at its own commas and trimmed.
func nodeicalCategories(name string) []string {
	parts := strings.Split(nodeicalValue("CATEGORIES", name), ",")
	for i := range parts {
		// What String.prototype.trim takes for white space (ECMA-262, 12.2).
		parts[i] = strings.TrimFunc(parts[i], func(r rune) bool { return unicode.IsSpace(r) && r != 0x85 || r == 0xfeff })
	}
	return parts
}

// nodeicalMisreads tells where node-ical 0.25 takes a wrong offset: it reads zones
// by name with temporal-polyfill 0.3.2, which overlooks two changes of the clock
// within weeks of each other in years to come. In Morocco that is the month of
// Ramadan, from 2029 on; the Intl of the same machine has it right.
func nodeicalMisreads(item heardItem) bool {
	return (item.Zone == "Africa/Casablanca" || item.Zone == "Africa/El_Aaiun") && item.Local >= "2029"
}

// libicalText is what libical 3.0 makes of a text: spaces and tabs around a
// property's value are taken away (icalparser.c, parser_get_next_value).
func libicalText(_, text string) string { return strings.Trim(text, " \t") }

func libicalCategories(name string) []string { return []string{libicalText("", name)} }

// khalText is what khal 0.10 shows of a text after it took in a calendar:
// icalendar reads it, writes it (parser.py, escape_char) and reads it again.
func khalText(text string) string {
	return icalendarText("", inOrder(icalendarText("", text), `\N`, "\n"))
}

// rubyMisreads reports whether Ruby's icalendar 2.8.0 takes the start, end or due
// time of an item for an hour too early (timezone.rb, previous_occurrence): a time
// that is the onset of standard time on the clock before it counts as before it.
func rubyMisreads(t *testing.T, item heardItem) bool {
	if item.AllDay || item.Zone == "UTC" {
		return false
	}
	location := zone(t, item.Zone)
	for _, text := range []string{item.Start, item.End, item.Due} {
		if text == "" {
			continue
		}
		at, err := time.Parse(time.RFC3339, text)
		if err != nil {
			t.Fatal(err)
		}
		start, _ := at.In(location).ZoneBounds()
		_, before := start.Add(-time.Second).Zone()
		_, now := at.In(location).Zone()
		if wall := at.Add(time.Duration(now) * time.Second); wall.Equal(start.Add(time.Duration(before) * time.Second)) {
			return true
		}
	}
	return false
}
