package ical

import (
	"fmt"
	"strconv"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/agenda"
)

// head is what every entry of ours says, open or done, as an event or as a to-do.
type head struct {
	uid         string
	sequence    int
	changed     time.Time // publication that last changed it
	title, name string    // of the task and of its equipment
	task        string    // id, for the link back
	names       []string  // of the equipment of several tasks; none where it is about one
	page        string    // for the link back of an entry for several tasks
	unnamed     bool      // the title says enough
	done        bool      // its summary says so
	description string
}

// component makes a component that begins with a head.
func (h head) component(kind string, a agenda.Agenda) *goical.Component {
	c := goical.NewComponent(kind)
	setText(c.Props, goical.PropUID, h.uid)
	setInstant(c.Props, goical.PropDateTimeStamp, h.changed)
	setInstant(c.Props, goical.PropLastModified, h.changed)
	c.Props.Set(&goical.Prop{Name: goical.PropSequence, Value: strconv.Itoa(h.sequence)})
	summary := h.title
	if h.page == "" && !h.unnamed {
		summary = fmt.Sprintf("%s (%s)", h.title, h.name)
	}
	if h.done {
		summary = "Done: " + summary
	}
	setText(c.Props, goical.PropSummary, summary)
	setText(c.Props, goical.PropDescription, h.description)
	if h.page != "" {
		setCategories(c.Props, h.names...)
		setLink(c.Props, a.Base, h.page)
		return c
	}
	setCategories(c.Props, h.name)
	setLink(c.Props, a.Base, "/tasks/"+h.task)
	return c
}

// openHead is the head of an entry that is open.
func openHead(e agenda.AgendaEntry) head {
	return head{uid: e.UID, sequence: e.Sequence, changed: e.Changed, title: e.Due.Title, name: e.Due.Name, unnamed: e.Unnamed, task: e.Due.Task, description: e.Told.Text(description(e.Due))}
}

// doneHead is the head of an entry that was done.
func doneHead(e agenda.DoneEntry) head {
	return head{uid: e.UID, sequence: e.Sequence, changed: e.Changed, title: e.Title, name: e.Name, unnamed: e.Unnamed, task: e.Task, description: doneDescription(e)}
}
