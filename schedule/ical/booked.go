package ical

import (
	"fmt"
	"io"
	"strings"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/agenda"
)

// bookedEvent makes the VEVENT of a visit that was booked.
func bookedEvent(a agenda.Agenda, e agenda.BookedEntry) *goical.Component {
	ev := groupComponent(a, e.UID, e.Summary, e.Sequence, e.Changed, bookedDescription(a, e), e.Tasks, fmt.Sprintf("/visits/%d", e.Visit.Record))
	setSpan(ev.Props, e.Visit.Begins, e.Visit.Ends(), a.Zone)
	for _, before := range e.Alarms {
		ev.Children = append(ev.Children, alarm(e.Summary, before))
	}
	ev.Props.SetText(goical.PropStatus, "CONFIRMED")
	ev.Props.SetText(goical.PropTransparency, "OPAQUE")
	return ev
}

// bookedDescription puts what can hurt first, then what to have ready and what is done.
func bookedDescription(a agenda.Agenda, e agenda.BookedEntry) string {
	var b strings.Builder
	if len(e.Cautions) > 0 {
		b.WriteString("WHAT CAN HURT\n")
		writeList(&b, e.Told.All(e.Cautions))
		b.WriteString("\n")
	}
	fmt.Fprintf(&b, "Booked for %s, %s to %s.\n", e.Visit.On.Long(), e.Visit.Begins.In(a.Zone).Format("15:04"), e.Visit.Ends().In(a.Zone).Format("15:04"))
	if e.Off != nil {
		fmt.Fprintf(&b, "The machine must be off by %s.\n", e.Off.In(a.Zone).Format("15:04"))
	}
	if e.Visit.Note != "" {
		b.WriteString(e.Visit.Note + "\n") // as it was typed
	}
	writeSection(&b, "USES UP", e.Told.All(e.Parts))
	writeSection(&b, "TOOLS", e.Told.All(e.Tools))
	writeSection(&b, "SEE THAT IT WAS DONE", e.Told.All(e.Check))
	b.WriteString("\nTASKS\n")
	var tasks strings.Builder
	writeTasks(&tasks, a, e.Tasks)
	b.WriteString(e.Told.Text(tasks.String()))
	return strings.TrimRight(b.String(), "\n")
}

// EncodeVisits writes the booked visits of several places as one calendar under a name:
// the round of whoever comes. The same agendas give the same bytes; there must be one at
// least, since a calendar holds a component.
func EncodeVisits(w io.Writer, name string, agendas []agenda.Agenda) error {
	visits := make([]agenda.Agenda, len(agendas))
	for i, a := range agendas {
		visits[i] = agenda.Agenda{Place: a.Place, Name: a.Name, Zone: a.Zone, Today: a.Today, Base: a.Base, Booked: a.Booked, Grouped: true}
		for _, e := range a.Cancelled {
			if e.Booked {
				visits[i].Cancelled = append(visits[i].Cancelled, e)
			}
		}
	}
	return EncodeAll(w, name, visits)
}

// RoundName names the calendar of somebody's visits.
func RoundName(who string) string {
	if who == "" {
		return "Round"
	}
	return "Round of " + who
}
