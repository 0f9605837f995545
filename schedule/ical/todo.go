package ical

import (
	"bytes"
	"cmp"
	"fmt"
	"strings"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/agenda"
	"limekeep/schedule/record"
)

// Todo is one task as a calendar object resource of its own (RFC 4791, 4.1): a
// calendar with one VTODO, and the VTIMEZONE where it names a zone.
type Todo struct {
	Entry    string // UID of the entry it stands for
	UID      string
	Name     string // last part of its address: letters, digits, dots and hyphens
	Data     []byte
	Calendar *goical.Calendar
	Modified time.Time
}

// todoMark sets the UIDs of to-dos apart from those of the events of the same
// tasks, for programs that keep both in one list.
const todoMark = ".todo@limekeep"

// TodoUID gives the UID of the to-do of an entry.
func TodoUID(entry string) string { return strings.TrimSuffix(entry, "@limekeep") + todoMark }

// sentUID gives the UID of the to-do of an entry, which may have come from an app.
func sentUID(entry string, sent agenda.SentAs) string { return cmp.Or(sent.UID, TodoUID(entry)) }

// EntryUID gives the UID of the entry of a to-do; false where it is none of ours.
func EntryUID(todo string) (string, bool) {
	entry, ours := strings.CutSuffix(todo, todoMark)
	return entry + "@limekeep", ours
}

// Todos gives the to-dos of an agenda: what is open, then what was done. Those
// marked, by the UID of their entry, were ticked off without a service.
func Todos(a agenda.Agenda, ticked map[string]time.Time) ([]Todo, error) {
	var todos []Todo
	zones := descriptionsOf(a.Zone)
	for _, e := range a.Entries {
		t := openTodo(a, e)
		if at, ok := ticked[e.UID]; ok {
			complete(t, at)
		}
		made, err := makeTodo(a, zones, t, e.UID, e.Sent, e.Changed, e.Start)
		if err != nil {
			return nil, err
		}
		todos = append(todos, made)
	}
	for _, e := range a.Done {
		made, err := makeTodo(a, zones, doneTodo(a, e), e.UID, e.Sent, e.Changed, e.On.In(a.Zone))
		if err != nil {
			return nil, err
		}
		todos = append(todos, made)
	}
	return todos, nil
}

// openTodo makes the VTODO of an entry. It has no start, since many apps hide a
// task until then, and the kit should be there before.
func openTodo(a agenda.Agenda, e agenda.AgendaEntry) *goical.Component {
	h := openHead(e)
	h.uid = sentUID(e.UID, e.Sent)
	if e.Values != "" {
		h.description += "\n\nIt is done by its values, which a tick cannot say: write them down with " + e.Values + "."
	}
	t := h.component(goical.CompToDo, a)
	t.Props.SetText(goical.PropStatus, "NEEDS-ACTION")
	t.Props.Set(&goical.Prop{Name: goical.PropPercentComplete, Value: "0"})
	day := record.DateOf(e.Start.In(a.Zone))
	if e.AllDay {
		setDate(t.Props, goical.PropDue, day)
	} else {
		setLocal(t.Props, goical.PropDue, e.Start, a.Zone)
	}
	if e.EveryDays > 0 {
		// A rule counts from a start (RFC 5545, 3.8.5.3).
		setDate(t.Props, goical.PropDateTimeStart, max(day, e.Next))
		t.Props.Del(goical.PropDue)
		t.Props.Set(&goical.Prop{Name: goical.PropRecurrenceRule, Value: fmt.Sprintf("FREQ=DAILY;INTERVAL=%d", e.EveryDays)})
	}
	for _, before := range e.Alarms {
		al := alarm(e.Due.Title, before)
		if e.EveryDays == 0 {
			// The time before which to remind is a to-do's due time (RFC 5545, 3.8.6.3).
			al.Props.Get(goical.PropTrigger).Params.Set("RELATED", "END")
		}
		t.Children = append(t.Children, al)
	}
	return t
}

// complete marks a VTODO as done at an instant.
func complete(t *goical.Component, at time.Time) {
	t.Props.SetText(goical.PropStatus, "COMPLETED")
	t.Props.Set(&goical.Prop{Name: goical.PropPercentComplete, Value: "100"})
	setInstant(t.Props, goical.PropCompleted, at)
	t.Children = nil // nothing to remind of
}

// doneTodo makes the VTODO of a task that was done.
func doneTodo(a agenda.Agenda, e agenda.DoneEntry) *goical.Component {
	h := doneHead(e)
	h.uid = sentUID(e.UID, e.Sent)
	t := h.component(goical.CompToDo, a)
	setDate(t.Props, goical.PropDue, e.On)
	complete(t, doneAt(a, e))
	return t
}

// doneAt is the instant at which something was done: when it was written down, or
// noon of its day where that was another.
func doneAt(a agenda.Agenda, e agenda.DoneEntry) time.Time {
	day := e.On.In(a.Zone)
	if e.Entered.Before(day) || !e.Entered.Before((e.On + 1).In(a.Zone)) {
		return day.Add(12 * time.Hour)
	}
	return e.Entered
}

func makeTodo(a agenda.Agenda, zones *zoneDescriptions, t *goical.Component, entry string, sent agenda.SentAs, changed, at time.Time) (Todo, error) {
	cal := goical.NewCalendar()
	cal.Props.SetText(goical.PropVersion, "2.0")
	cal.Props.SetText(goical.PropProductID, productID)
	if due := t.Props.Get(goical.PropDue); due != nil && due.Params.Get(goical.ParamTimezoneID) != "" {
		cal.Children = append(cal.Children, zones.of(at, at.AddDate(0, 0, 2)))
	}
	cal.Children = append(cal.Children, t)
	var b bytes.Buffer
	if err := goical.NewEncoder(&lineFolder{w: &b}).Encode(cal); err != nil {
		return Todo{}, fmt.Errorf("the to-do of %s: %w", entry, err)
	}
	return Todo{Entry: entry, UID: sentUID(entry, sent), Name: ObjectName(a.Place, entry, sent), Data: b.Bytes(), Calendar: cal, Modified: changed.UTC()}, nil
}

// ObjectName gives the last part of the address of an entry's to-do: the one that
// an app gave it, if it came from there.
func ObjectName(place, entry string, sent agenda.SentAs) string {
	return cmp.Or(sent.Name, TodoName(place, entry))
}

// TodoName gives the last part of the address of an entry's to-do: ids hold no
// dots, so that parts joined by dots stay apart.
func TodoName(place, entry string) string {
	name := strings.TrimSuffix(strings.TrimPrefix(entry, place+"."), "@limekeep")
	return strings.ReplaceAll(name, "/", ".") + ".ics"
}

// ZoneCalendar gives a calendar that holds nothing but the place's time zone as
// it is around a day, for the calendar-timezone of a collection (RFC 4791, 5.2.2).
func ZoneCalendar(a agenda.Agenda) ([]byte, error) {
	cal := goical.NewCalendar()
	cal.Props.SetText(goical.PropVersion, "2.0")
	cal.Props.SetText(goical.PropProductID, productID)
	from := a.Today.In(a.Zone)
	cal.Children = append(cal.Children, descriptionsOf(a.Zone).of(from, from.AddDate(2, 0, 0)))
	var b bytes.Buffer
	err := goical.NewEncoder(&lineFolder{w: &b}).Encode(cal)
	return b.Bytes(), err
}
