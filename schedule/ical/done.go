package ical

import (
	"fmt"
	"strconv"
	"strings"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule"
)

// doneEvent makes the VEVENT of a task that was done: a day of history, which
// keeps nobody busy.
func doneEvent(a schedule.Agenda, e schedule.DoneEntry) *goical.Component {
	ev := goical.NewComponent(goical.CompEvent)
	setText(ev.Props, goical.PropUID, e.UID)
	setInstant(ev.Props, goical.PropDateTimeStamp, e.Changed)
	setInstant(ev.Props, goical.PropLastModified, e.Changed)
	ev.Props.Set(&goical.Prop{Name: goical.PropSequence, Value: strconv.Itoa(e.Sequence)})
	setText(ev.Props, goical.PropSummary, "Done: "+summary(e.Title, e.Name))
	setText(ev.Props, goical.PropDescription, doneDescription(e))
	setCategories(ev.Props, e.Name)
	setLink(ev.Props, a.Base, e.Task)
	setDate(ev.Props, goical.PropDateTimeStart, e.On)
	setDate(ev.Props, goical.PropDateTimeEnd, e.On+1)
	ev.Props.SetText(goical.PropStatus, "CONFIRMED")
	ev.Props.SetText(goical.PropTransparency, "TRANSPARENT")
	return ev
}

// doneDescription says what was found, and where the record of it came from.
func doneDescription(e schedule.DoneEntry) string {
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
	return door
}
