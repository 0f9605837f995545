package ical

import (
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// clockZones are zones whose clocks are hard to follow: both hemispheres, half
// an hour and two hours of shift, quarters of an hour, changes at midnight, three
// or four a year, a winter that counts as the exception, none at all.
var clockZones = []string{
	"Europe/Vienna", "Europe/Dublin", "Africa/Casablanca", "Africa/Cairo", "America/St_Johns", "America/Havana", "America/Santiago", "America/Nuuk",
	"Asia/Gaza", "Asia/Kathmandu", "Australia/Lord_Howe", "Pacific/Chatham", "Pacific/Apia", "Antarctica/Troll",
}

// clockAgenda has an entry for every hour around each change of a zone's clock
// from one year to another, and on two days of each year without a change.
func clockAgenda(location *time.Location, from, to int) agenda.Agenda {
	a := agenda.Agenda{Place: "kitchen", Name: "Kitchen", Zone: location, Today: record.NewDate(from, time.January, 1)}
	add := func(start time.Time) {
		if start.Year() < from || start.Year() > to {
			return
		}
		a.Entries = append(a.Entries, agenda.AgendaEntry{
			UID: fmt.Sprintf("kitchen.machine/descale/steam.%d@limekeep", len(a.Entries)), Due: day.Due{Task: "machine/descale/steam", Name: "Machine", Title: "Descale"},
			Start: start, Minutes: 60, Changed: a.Today.In(location), Alarms: []time.Duration{24 * time.Hour},
		})
	}
	for year := from; year <= to; year++ {
		add(time.Date(year, time.January, 1, 0, 0, 0, 0, location))
		add(time.Date(year, time.July, 1, 12, 0, 0, 0, location))
	}
	at := time.Date(from, time.January, 1, 0, 0, 0, 0, location)
	for {
		_, change := at.ZoneBounds()
		if change.IsZero() || change.Year() > to {
			return a
		}
		at = change
		for _, minutes := range []int{-24 * 60, -181, -150, -121, -120, -90, -61, -60, -31, -30, -15, -1, 0, 1, 15, 29, 30, 59, 60, 90, 120, 150, 180, 24 * 60} {
			add(change.Add(time.Duration(minutes) * time.Minute))
		}
		// What a person would write, in the gap and in the fold as well: package
		// time makes an instant of it.
		year, month, day := change.Add(-6 * time.Hour).In(location).Date()
		for half := range 14 { // from ten in the evening
			add(time.Date(year, month, day, 22, 30*half, 0, 0, location))
		}
	}
}

// Around every change of a clock in two years, eleven in the long form, three independent programs read
// each entry at its instant, and at its time on the clock, by the calendar's own
// VTIMEZONE. Once a zone went over the date line: Samoa left out 30 December 2011.
func TestClockChanges(t *testing.T) {
	needsPrograms(t)
	from, to := 2026, 2027
	toDosOf := 17 // one entry in so many is read as a to-do too
	if soaking() {
		to, toDosOf = 2036, 7
	}
	agendas := map[string]agenda.Agenda{"dateline": clockAgenda(zone(t, "Pacific/Apia"), 2010, 2013)}
	for i, name := range clockZones {
		agendas[fmt.Sprintf("zone-%d", i)] = clockAgenda(zone(t, name), from, to)
	}
	folder := t.TempDir()
	changes := 0
	for name, a := range agendas {
		feed := encode(t, a)
		for _, f := range checkFeed(feed) {
			t.Errorf("%s: %v", a.Zone, f)
		}
		write(t, folder, name+".ics", feed)
		made, err := Todos(a, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i := 0; i < len(made); i += toDosOf { // each with a VTIMEZONE of its own
			write(t, folder, fmt.Sprintf("%s.%d.ics", name, i), made[i].Data)
		}
		changes += len(a.Entries)
	}
	t.Logf("%d entries in %d zones", changes, len(agendas))
	for _, c := range clients {
		if c.name == "node-ical" {
			continue // reads zones by name, not by VTIMEZONE
		}
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			read := c.hear(t, folder)
			for name, a := range agendas {
				if diff := cmp.Diff([]string{a.Zone.String()}, read[name+".ics"].Zones); diff != "" {
					t.Error(diff)
				}
				c.compare(t, a.Zone.String(), hearEvents(a), read[name+".ics"].Events)
				for i, item := range hearTodos(a, nil) {
					if i%toDosOf == 0 {
						c.compare(t, a.Zone.String(), []heardItem{item}, read[fmt.Sprintf("%s.%d.ics", name, i)].Todos)
					}
				}
			}
		})
	}
}
