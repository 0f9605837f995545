package ical

import (
	"strings"
	"testing"
	"time"

	"limekeep/schedule/agenda"
	"limekeep/schedule/record"
)

// heard is what an independent program read in a calendar.
type heard struct {
	File   string      `json:"file"`
	Zones  []string    `json:"zones"`
	Events []heardItem `json:"events"`
	Todos  []heardItem `json:"todos"`
}

// heardItem is one event or to-do. Instants are written as RFC 3339 does, in
// UTC, whole days as dates.
type heardItem struct {
	UID         string    `json:"uid"`
	Summary     string    `json:"summary"`
	Description string    `json:"description"`
	Categories  []string  `json:"categories"`
	URL         string    `json:"url"`
	AllDay      bool      `json:"allDay"`
	Zone        string    `json:"zone"`  // of the start, of to-dos with a due time of that
	Local       string    `json:"local"` // the same on that zone's clock
	Start       string    `json:"start"`
	End         string    `json:"end"`
	Minutes     float64   `json:"minutes"`
	Due         string    `json:"due"`
	Sequence    int       `json:"sequence"`
	Stamp       string    `json:"stamp"`
	Modified    string    `json:"modified"`
	Status      string    `json:"status"`
	Transp      string    `json:"transp"`
	Rule        string    `json:"rrule"`
	Percent     int       `json:"percent"`
	Completed   string    `json:"completed"`
	Alarms      []float64 `json:"alarms"` // seconds after the start, or what they are related to
	AlarmTexts  []string  `json:"alarmTexts"`
	Related     []string  `json:"related"` // START or END, of to-dos
}

// hearEvents gives what should be read of an agenda's feed.
func hearEvents(a agenda.Agenda) []heardItem {
	var items []heardItem
	for _, e := range a.Entries {
		item := hearEntry(a, e)
		item.Status, item.Transp = "CONFIRMED", "OPAQUE"
		if e.Tentative {
			item.Status = "TENTATIVE"
		}
		end := e.Start.Add(time.Duration(e.Minutes * float64(time.Minute)))
		if e.AllDay {
			item.Transp = "TRANSPARENT"
			item.day(record.DateOf(e.Start))
			item.Minutes, item.Start, item.End = 24*60, record.DateOf(e.Start).String(), (record.DateOf(e.Start) + 1).String()
		} else {
			item.clock(e.Start, a.Zone, shownTwice(e.Start, a.Zone) || shownTwice(end, a.Zone))
			item.Start, item.End = instant(e.Start), instant(end)
			item.Minutes = end.Truncate(time.Second).Sub(e.Start.Truncate(time.Second)).Minutes()
		}
		items = append(items, item)
	}
	for _, e := range a.Done {
		item := hearDone(a, e)
		item.Summary = "Done: " + item.Summary
		item.Status, item.Transp = "CONFIRMED", "TRANSPARENT"
		item.Minutes, item.Start, item.End = 24*60, e.On.String(), (e.On + 1).String()
		items = append(items, item)
	}
	return items
}

// hearTodos gives what should be read of an agenda's to-dos.
func hearTodos(a agenda.Agenda, ticked map[string]time.Time) []heardItem {
	var items []heardItem
	for _, e := range a.Entries {
		item := hearEntry(a, e)
		item.UID = strings.TrimSuffix(e.UID, "@limekeep") + ".todo@limekeep"
		item.Status = "NEEDS-ACTION"
		switch {
		case e.EveryDays > 0:
			item.day(record.DateOf(e.Start))
			item.Start = record.DateOf(e.Start).String()
		case e.AllDay:
			item.day(record.DateOf(e.Start))
			item.Due = record.DateOf(e.Start).String()
		default:
			item.clock(e.Start, a.Zone, shownTwice(e.Start, a.Zone))
			item.Due = instant(e.Start)
		}
		for range e.Alarms {
			item.Related = append(item.Related, map[bool]string{true: "START", false: "END"}[e.EveryDays > 0])
		}
		if at, ok := ticked[e.UID]; ok {
			item.Status, item.Percent, item.Completed = "COMPLETED", 100, instant(at)
			item.Alarms, item.AlarmTexts, item.Related = nil, nil, nil
		}
		items = append(items, item)
	}
	for _, e := range a.Done {
		item := hearDone(a, e)
		item.UID = strings.TrimSuffix(e.UID, "@limekeep") + ".todo@limekeep"
		item.Status, item.Percent, item.Due, item.Completed = "COMPLETED", 100, e.On.String(), instant(doneAt(a, e))
		items = append(items, item)
	}
	return items
}

func hearEntry(a agenda.Agenda, e agenda.AgendaEntry) heardItem {
	item := heardItem{
		UID: e.UID, Summary: clean(e.Due.Title + " (" + e.Due.Name + ")"), Description: clean(description(e.Due)),
		Categories: hearCategories(e.Due.Name), URL: hearLink(a, e.Due.Task), Sequence: e.Sequence, Stamp: instant(e.Changed), Modified: instant(e.Changed),
	}
	switch e.EveryDays {
	case 0:
	case 1:
		item.Rule = "FREQ=DAILY"
	default:
		item.Rule = "FREQ=DAILY;INTERVAL=" + string(rune('0'+e.EveryDays))
	}
	for _, before := range e.Alarms {
		item.Alarms = append(item.Alarms, -before.Seconds())
		text := clean(e.Due.Title)
		if strings.TrimSpace(text) == "" {
			text = "Machine care"
		}
		item.AlarmTexts = append(item.AlarmTexts, text)
	}
	return item
}

func hearDone(a agenda.Agenda, e agenda.DoneEntry) heardItem {
	item := heardItem{
		UID: e.UID, Summary: clean(e.Title + " (" + e.Name + ")"), Description: clean(doneDescription(e)),
		Categories: hearCategories(e.Name), URL: hearLink(a, e.Task), Sequence: e.Sequence, Stamp: instant(e.Changed), Modified: instant(e.Changed),
	}
	item.day(e.On)
	return item
}

func (i *heardItem) day(record.Date) { i.AllDay = true }

// clock is how the start, or the due time, is written.
func (i *heardItem) clock(at time.Time, zone *time.Location, inUTC bool) {
	if inUTC {
		zone = time.UTC
	}
	i.Zone, i.Local = zone.String(), at.In(zone).Format("2006-01-02T15:04:05")
}

func hearCategories(name string) []string {
	if name = clean(name); strings.TrimSpace(name) != "" {
		return []string{name}
	}
	return nil
}

func hearLink(a agenda.Agenda, task string) string {
	if a.Base == "" {
		return ""
	}
	return a.Base + "/tasks/" + task
}

func instant(t time.Time) string { return t.UTC().Truncate(time.Second).Format(time.RFC3339) }

// shownTwice tells whether a zone's clock shows the time of an instant at
// another one as well, by the offsets in force a day before and a day after.
func shownTwice(t time.Time, zone *time.Location) bool {
	const wall = "2006-01-02T15:04:05.999999999"
	shown := t.In(zone).Format(wall)
	onClock, err := time.Parse(wall, shown)
	if err != nil {
		panic(err) // cannot happen: it was written in this form
	}
	for _, near := range []time.Time{t.AddDate(0, 0, -1), t.AddDate(0, 0, 1)} {
		_, offset := near.In(zone).Zone()
		other := onClock.Add(-time.Duration(offset) * time.Second)
		if !other.Equal(t) && other.In(zone).Format(wall) == shown {
			return true
		}
	}
	return false
}

// The two ways of telling whether a time comes twice agree.
func TestComesTwice(t *testing.T) {
	for _, name := range hostileZones {
		location := zone(t, name)
		at := time.Date(2026, time.January, 1, 0, 0, 0, 0, location)
		for range 8 {
			_, end := at.ZoneBounds()
			if end.IsZero() || end.Year() > 2030 {
				break
			}
			for minutes := -200; minutes <= 200; minutes += 5 {
				at := end.Add(time.Duration(minutes) * time.Minute)
				if got, want := comesTwice(at), shownTwice(at, location); got != want {
					t.Errorf("%s: %v comes twice: %v, want %v", name, at, got, want)
				}
			}
			at = end
		}
	}
}
