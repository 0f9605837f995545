package ical

import (
	goical "github.com/emersion/go-ical"

	"limekeep/schedule/agenda"
	"limekeep/schedule/record"
)

// cancelledSays is the text of an entry that is cancelled.
const cancelledSays = "It is no longer planned here. What of it is still to be done stands in other entries."

// cancelledEvents makes the VEVENTs of what went out before and is neither open nor
// done: where an agenda shows sittings those of sittings and visits and what stood
// alone beside them, else those of single tasks.
func cancelledEvents(a agenda.Agenda) []*goical.Component {
	var events []*goical.Component
	for _, e := range a.Cancelled {
		if e.Group != a.Grouped && !e.Alone {
			continue
		}
		h := head{uid: e.UID, sequence: e.Sequence, changed: e.Changed, title: e.Summary, description: cancelledSays, page: "/plan"}
		ev := h.component(goical.CompEvent, a)
		if e.AllDay {
			day := record.DateOf(e.Start.In(a.Zone))
			setDate(ev.Props, goical.PropDateTimeStart, day)
			setDate(ev.Props, goical.PropDateTimeEnd, day+1)
		} else {
			setSpan(ev.Props, e.Start, e.Start, a.Zone)
		}
		ev.Props.SetText(goical.PropStatus, "CANCELLED")
		ev.Props.SetText(goical.PropTransparency, "TRANSPARENT")
		events = append(events, ev)
	}
	return events
}
