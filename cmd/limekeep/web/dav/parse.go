package dav

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/emersion/go-ical"

	"limekeep/cmd/limekeep/foreign"
)

// Bounds to what is read of an object. The decoder reads parameters in a time
// that grows with their square and components by recursion.
const (
	mostComponents     = 200
	mostParameterBytes = 2 << 10
)

// readObject reads a calendar object resource of to-dos and checks it by
// RFC 4791, 4.1. What it gives can be written again by go-ical.
func readObject(body []byte) (*ical.Calendar, error) {
	cal, err := readCalendar(body)
	if err != nil {
		return nil, &Refusal{ValidCalendarData, "This is not a calendar: " + foreign.InOurWords(err) + "."}
	}
	if len(cal.Props[ical.PropMethod]) > 0 {
		return nil, &Refusal{ValidObject, "A stored to-do has no METHOD."}
	}
	uid, masters, todos := "", 0, 0
	overridden := map[string]bool{}
	for _, c := range cal.Children {
		switch c.Name {
		case ical.CompTimezone:
			continue
		case ical.CompToDo:
		case ical.CompEvent, ical.CompJournal, ical.CompFreeBusy, "VAVAILABILITY", "VPOLL":
			return nil, &Refusal{SupportedComponent, fmt.Sprintf("This collection holds to-dos (VTODO) and no %s.", c.Name)}
		default:
			continue // what an app adds for itself (RFC 5545, 3.6)
		}
		todos++
		id := c.Props.Get(ical.PropUID)
		switch {
		case id == nil || strings.TrimSpace(id.Value) == "":
			return nil, &Refusal{ValidObject, "A to-do needs a UID."}
		case uid != "" && id.Value != uid:
			return nil, &Refusal{ValidObject, fmt.Sprintf("One object holds one to-do, but the UIDs %s and %s are in it.", uid, id.Value)}
		}
		uid = id.Value
		of := c.Props.Get(ical.PropRecurrenceID)
		if of == nil {
			if masters++; masters > 1 {
				return nil, &Refusal{ValidObject, "The to-do is in the object twice."}
			}
			continue
		}
		if overridden[of.Value] {
			return nil, &Refusal{ValidObject, fmt.Sprintf("The occurrence of %s is in the object twice.", of.Value)}
		}
		overridden[of.Value] = true
	}
	if todos == 0 {
		return nil, &Refusal{SupportedComponent, "There is no to-do (VTODO) in this object."}
	}
	if version := cal.Props.Get(ical.PropVersion); version == nil || version.Value != "2.0" {
		return nil, &Refusal{supportedData, "Only iCalendar 2.0 is stored here (RFC 5545)."}
	}
	// The encoder knows which properties a component must and may have once.
	if err := ical.NewEncoder(io.Discard).Encode(cal); err != nil {
		return nil, &Refusal{ValidCalendarData, "This calendar is not valid: " + strings.TrimPrefix(foreign.InOurWords(err), "ical: ") + "."}
	}
	return cal, nil
}

// readCalendar reads one iCalendar object and nothing after it.
func readCalendar(body []byte) (cal *ical.Calendar, err error) {
	body = bytes.TrimPrefix(body, []byte("\uFEFF")) // a byte-order mark, which some apps put before UTF-8
	if err := bounded(body); err != nil {
		return nil, err
	}
	// The decoder panics where a line ends after a parameter, before its colon.
	defer func() {
		if what := recover(); what != nil {
			cal, err = nil, errors.New("a line cannot be read")
		}
	}()
	cal, err = ical.NewDecoder(bytes.NewReader(body)).Decode()
	if err != nil {
		return nil, errors.New(strings.TrimPrefix(foreign.InOurWords(err), "ical: "))
	}
	return cal, nil
}

// bounded checks the outer form: characters, sizes, and that components open and
// close, once in all.
func bounded(body []byte) error {
	if !utf8.Valid(body) {
		return fmt.Errorf("it is not in UTF-8")
	}
	var open []string
	components, done := 0, false
	for l := range contentLines(body) {
		if done {
			return fmt.Errorf("there is something after its end")
		}
		text := l.unfolded()
		if i := strings.IndexFunc(text, control); i >= 0 {
			return fmt.Errorf("there is a control character in %s", l.name)
		}
		if n := valueAt(text); n < 0 {
			return fmt.Errorf("a line has no colon")
		} else if n > mostParameterBytes {
			return fmt.Errorf("the parameters of %s are longer than %d bytes", l.name, mostParameterBytes)
		}
		switch l.name {
		case "BEGIN":
			if components++; components > mostComponents {
				return fmt.Errorf("it has more than %d components", mostComponents)
			}
			open = append(open, l.component())
		case "END":
			if len(open) == 0 || open[len(open)-1] != l.component() {
				return fmt.Errorf("END:%s has no BEGIN", l.component())
			}
			open = open[:len(open)-1]
			done = len(open) == 0
		}
	}
	if !done {
		return fmt.Errorf("its end is missing")
	}
	return nil
}

// control tells the characters that no text of a calendar may hold
// (RFC 5545, 3.1: CONTROL).
func control(r rune) bool { return r < ' ' && r != '\t' || r == 0x7f }

// uidOf returns the UID of the to-do in a calendar, empty where there is none.
func uidOf(cal *ical.Calendar) string {
	for _, c := range cal.Children {
		if id := c.Props.Get(ical.PropUID); c.Name == ical.CompToDo && id != nil {
			return id.Value
		}
	}
	return ""
}
