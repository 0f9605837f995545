package ical

import (
	"bytes"
	"runtime"
	"sync"
	"testing"

	"limekeep/schedule/agenda"
)

// Whatever people call their machines, wherever they live and whenever the work
// is due, the checker finds nothing in the calendars of 10,000 households; the short
// form goes through 2,000 of them, which are the same at each run.
func TestGeneratedCalendarsAreSound(t *testing.T) {
	generated := uint64(2000) // invented households; the to-dos of one in ten as well
	switch {
	case soaking():
		generated = 10_000
	case testing.Short():
		generated = 1000
	}
	seeds := make(chan uint64)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for seed := range seeds {
				checkHousehold(t, household(seed), seed%10 == 0)
			}
		})
	}
	for seed := range generated {
		seeds <- seed
	}
	close(seeds)
	wait.Wait()
}

// checkHousehold checks the feed of a household, and its to-dos where asked for.
func checkHousehold(t *testing.T, a agenda.Agenda, todos bool) {
	var feed bytes.Buffer
	if err := Encode(&feed, a); err != nil {
		t.Errorf("%s: %v", a.Place, err)
		return
	}
	for _, f := range checkFeed(feed.Bytes()) {
		t.Errorf("%s in %s: %v in\n%.3000s", a.Place, a.Zone, f, feed.Bytes())
	}
	if !todos {
		return
	}
	made, err := Todos(a, ticks(a))
	if err != nil {
		t.Errorf("%s: %v", a.Place, err)
	}
	for _, todo := range made {
		for _, f := range checkResource(todo.Data) {
			t.Errorf("%s in %s: %v in\n%s", todo.UID, a.Zone, f, todo.Data)
		}
	}
	// The collection's own zone is no resource: it holds nothing but the zone.
	own, err := ZoneCalendar(a)
	if err != nil {
		t.Errorf("%s: %v", a.Place, err)
	}
	for _, f := range checkFeed(own) {
		t.Errorf("%s: %v in\n%s", a.Zone, f, own)
	}
}
