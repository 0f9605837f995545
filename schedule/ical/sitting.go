package ical

import (
	"fmt"
	"slices"
	"strings"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/agenda"
)

// groupEvents makes the VEVENTs of an agenda that shows an entry for each
// sitting, for each visit and for each day of work done.
func groupEvents(a agenda.Agenda) []*goical.Component {
	var events []*goical.Component
	grouped := map[string]bool{}
	for _, e := range a.Sittings {
		events = append(events, sittingEvent(a, e))
		note(grouped, e.Tasks)
	}
	for _, e := range a.Visits {
		events = append(events, visitEvent(a, e))
		note(grouped, e.Tasks)
	}
	for _, e := range a.Booked {
		events = append(events, bookedEvent(a, e))
		note(grouped, e.Tasks)
	}
	// What belongs to no sitting and no visit stands alone: routine, orders, and
	// what goes with a time away.
	for _, e := range a.Entries {
		if !grouped[e.UID] {
			events = append(events, event(a, e))
		}
	}
	for _, e := range a.DoneDays {
		events = append(events, doneDayEvent(a, e))
	}
	return append(events, cancelledEvents(a)...)
}

func note(grouped map[string]bool, tasks []agenda.EntryTask) {
	for _, t := range tasks {
		grouped[t.UID] = true
	}
}

// sittingEvent makes the VEVENT of a sitting.
func sittingEvent(a agenda.Agenda, e agenda.SittingEntry) *goical.Component {
	ev := groupComponent(a, e.UID, e.Summary, e.Sequence, e.Changed, sittingDescription(a, e), e.Tasks, "/plan")
	setSpan(ev.Props, e.Sitting.Start, e.Sitting.End(), a.Zone)
	status, transparency := "CONFIRMED", "OPAQUE"
	if e.Tentative {
		status, transparency = "TENTATIVE", "TRANSPARENT"
	}
	for _, before := range e.Alarms {
		ev.Children = append(ev.Children, alarm(e.Summary, before))
	}
	ev.Props.SetText(goical.PropStatus, status)
	ev.Props.SetText(goical.PropTransparency, transparency)
	return ev
}

// visitEvent makes the VEVENT of a visit, on the day to call by.
func visitEvent(a agenda.Agenda, e agenda.VisitEntry) *goical.Component {
	ev := groupComponent(a, e.UID, e.Summary, e.Sequence, e.Changed, visitDescription(a, e), e.Tasks, "/plan")
	setDate(ev.Props, goical.PropDateTimeStart, e.Day)
	setDate(ev.Props, goical.PropDateTimeEnd, e.Day+1)
	for _, before := range e.Alarms {
		ev.Children = append(ev.Children, alarm(e.Summary, before))
	}
	ev.Props.SetText(goical.PropStatus, "CONFIRMED")
	ev.Props.SetText(goical.PropTransparency, "TRANSPARENT")
	return ev
}

// doneDayEvent makes the VEVENT of what was done on a day.
func doneDayEvent(a agenda.Agenda, d agenda.DoneDay) *goical.Component {
	var tasks []agenda.EntryTask
	var text strings.Builder
	for _, e := range d.Done {
		tasks = append(tasks, agenda.EntryTask{Name: e.Name})
		title := e.Title
		if !e.Unnamed {
			title += ", " + e.Name
		}
		fmt.Fprintf(&text, "%s: %s\n", title, strings.ReplaceAll(doneDescription(e), "\n", " "))
	}
	ev := groupComponent(a, d.UID, "Done: "+d.Summary(), d.Sequence, d.Changed, strings.TrimRight(text.String(), "\n"), tasks, "/history")
	setDate(ev.Props, goical.PropDateTimeStart, d.On)
	setDate(ev.Props, goical.PropDateTimeEnd, d.On+1)
	ev.Props.SetText(goical.PropStatus, "CONFIRMED")
	ev.Props.SetText(goical.PropTransparency, "TRANSPARENT")
	return ev
}

// groupComponent makes a VEVENT with what every entry for several tasks says.
func groupComponent(a agenda.Agenda, uid, summary string, sequence int, changed time.Time, description string, tasks []agenda.EntryTask, page string) *goical.Component {
	h := head{uid: uid, sequence: sequence, changed: changed, title: summary, description: description, page: page}
	for _, t := range tasks {
		if name := clean(t.Name); strings.TrimSpace(name) != "" && !slices.Contains(h.names, name) {
			h.names = append(h.names, name)
		}
	}
	return h.component(goical.CompEvent, a)
}

// sittingDescription puts what can hurt and how to make safe first, once for all
// tasks that share it; then the timetable, and each task with its reason and link.
func sittingDescription(a agenda.Agenda, e agenda.SittingEntry) string {
	var b strings.Builder
	b.WriteString("BEFORE YOU START\n")
	writeList(&b, e.Sitting.Cautions)
	for _, r := range e.Sitting.MakeSafe {
		fmt.Fprintf(&b, "\nMAKE SAFE, IN THIS ORDER, BEFORE: %s\n", strings.Join(r.Tasks, "; "))
		for i, s := range r.Steps {
			fmt.Fprintf(&b, "%d. %s\n", i+1, s)
		}
		for _, then := range r.Then {
			fmt.Fprintf(&b, "Then, %s: %s\n", then.Task, strings.Join(then.Steps, " "))
		}
	}
	b.WriteString("\nTIMETABLE\n")
	for _, step := range e.Sitting.Steps {
		fmt.Fprintf(&b, "%s %s\n", step.At.In(a.Zone).Format("15:04"), step.Says)
	}
	writeSection(&b, "PARTS AND CONSUMABLES", e.Sitting.Parts)
	writeSection(&b, "TOOLS TO HAVE THERE", e.Sitting.Tools)
	b.WriteString("\nTASKS, AND WHY NOW\n")
	writeTasks(&b, a, e.Tasks)
	return e.Told.Text(strings.TrimRight(b.String(), "\n"))
}

// visitDescription says whom to call, for what, and how to see that it was done.
func visitDescription(a agenda.Agenda, e agenda.VisitEntry) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Call %s by %s, for about %s.\n", e.Visit.Who.People(), e.Day.Long(), e.Visit.On.Long())
	b.WriteString("\nASK FOR\n")
	writeList(&b, e.Ask)
	b.WriteString("\nSEE THAT IT WAS DONE\n")
	writeList(&b, e.Check)
	b.WriteString("\nTASKS, AND WHY NOW\n")
	writeTasks(&b, a, e.Tasks)
	return e.Told.Text(strings.TrimRight(b.String(), "\n"))
}

func writeList(b *strings.Builder, lines []string) {
	for _, line := range lines {
		b.WriteString("- " + line + "\n")
	}
}

// writeSection writes lines under a heading, and nothing where there are none.
func writeSection(b *strings.Builder, heading string, lines []string) {
	if len(lines) > 0 {
		b.WriteString("\n" + heading + "\n")
		writeList(b, lines)
	}
}

func writeTasks(b *strings.Builder, a agenda.Agenda, tasks []agenda.EntryTask) {
	for _, t := range tasks {
		title := t.Title
		if !t.Unnamed {
			title += " (" + t.Name + ")"
		}
		b.WriteString(strings.TrimSpace(title+": "+t.Says) + "\n")
		if a.Base != "" {
			b.WriteString(a.Base + "/tasks/" + t.Task + "\n")
		}
	}
}
