package ical

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// rubyIcalendar reads strictly: a property that RFC 5545 and 7986 do not have, one
// that is there twice, or one of another type ends the reading, and each component
// says whether it is valid. Zones it knows by their VTIMEZONE alone.
func rubyIcalendar(t *testing.T, folder string) *exec.Cmd {
	return exec.CommandContext(t.Context(), "ruby", filepath.Join(readers(t), "read-ruby.rb"), folder)
}

// A strict reader of another language takes every feed and every to-do, and has the
// entries at the times that went in: those of 15 households, 40 in the long form.
func TestStrictReader(t *testing.T) {
	needsPrograms(t)
	ruby := client{name: "Ruby's icalendar", run: rubyIcalendar}
	households := uint64(15)
	if soaking() {
		households = 40
	}
	folder := t.TempDir()
	for seed := range households {
		a := household(seed)
		write(t, folder, fmt.Sprintf("%d.ics", seed), encode(t, a))
		made, err := Todos(a, ticks(a))
		if err != nil {
			t.Fatal(err)
		}
		for i, todo := range made {
			write(t, folder, fmt.Sprintf("%d.%d.ics", seed, i), todo.Data)
		}
	}
	read := ruby.hear(t, folder)
	for seed := range households {
		a := household(seed)
		file := fmt.Sprintf("%d.ics", seed)
		if diff := cmp.Diff([]string{a.Zone.String()}, read[file].Zones); diff != "" {
			t.Errorf("%s: zones: %s", file, diff)
		}
		if diff := cmp.Diff(timesRead(t, hearEvents(a), hearEvents(a)), timesRead(t, hearEvents(a), read[file].Events)); diff != "" {
			t.Errorf("%s in %s: %s", file, a.Zone, diff)
		}
		for i, want := range hearTodos(a, ticks(a)) {
			file := fmt.Sprintf("%d.%d.ics", seed, i)
			if diff := cmp.Diff(timesRead(t, []heardItem{want}, []heardItem{want}), timesRead(t, []heardItem{want}, read[file].Todos)); diff != "" {
				t.Errorf("%s in %s: %s", file, a.Zone, diff)
			}
		}
	}
}

// timesRead is what is compared of items: which, and when, but for times that are
// known to be read wrong.
func timesRead(t *testing.T, want, items []heardItem) (list []string) {
	for i, item := range items {
		if i < len(want) && rubyMisreads(t, want[i]) {
			list = append(list, item.UID)
			continue
		}
		list = append(list, fmt.Sprintf("%s from %s to %s due %s", item.UID, item.Start, item.End, item.Due))
	}
	return list
}
