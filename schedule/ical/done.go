package ical

import (
	"fmt"
	"strings"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/agenda"
)

// doneEvent makes the VEVENT of a task that was done: a day of history, which
// keeps nobody busy.
func doneEvent(a agenda.Agenda, e agenda.DoneEntry) *goical.Component {
	h := doneHead(e)
	h.done = true
	ev := h.component(goical.CompEvent, a)
	setDate(ev.Props, goical.PropDateTimeStart, e.On)
	setDate(ev.Props, goical.PropDateTimeEnd, e.On+1)
	ev.Props.SetText(goical.PropStatus, "CONFIRMED")
	ev.Props.SetText(goical.PropTransparency, "TRANSPARENT")
	return ev
}

// doneDescription says what was found, and where the record of it came from.
func doneDescription(e agenda.DoneEntry) string {
	var b strings.Builder
	b.WriteString(e.Says)
	fmt.Fprintf(&b, "\nRecord %d", e.Record)
	if e.Source != "" {
		b.WriteString(", from " + source(e.Source))
	}
	b.WriteString(".")
	return b.String()
}

// source puts the door that a record came in by in words.
func source(door string) string {
	switch door {
	case "command":
		return "the command line"
	case "page":
		return "the pages"
	}
	if who, ok := strings.CutPrefix(door, "page: "); ok {
		return who + ", on the pages"
	}
	return door
}
