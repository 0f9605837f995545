package dav

import (
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"
	"github.com/emersion/go-webdav"
	"github.com/emersion/go-webdav/caldav"
)

// The client of the library, which reads answers by its own rules, finds the
// collection, stores, asks, fetches and deletes.
func TestLibraryClient(t *testing.T) {
	k := newKit(t)
	server := httptest.NewServer(k.handler)
	defer server.Close()
	ctx := t.Context()
	client, err := caldav.NewClient(webdav.HTTPClientWithBasicAuth(server.Client(), "kätchen", "geheim: ☕"), server.URL+"/.well-known/caldav")
	if err != nil {
		t.Fatal(err)
	}
	principal, err := client.FindCurrentUserPrincipal(ctx)
	if err != nil || principal != atPrincipal {
		t.Fatalf("principal %q: %v", principal, err)
	}
	home, err := client.FindCalendarHomeSet(ctx, principal)
	if err != nil || home != atHome {
		t.Fatalf("home set %q: %v", home, err)
	}
	calendars, err := client.FindCalendars(ctx, home)
	if err != nil || len(calendars) != 1 {
		t.Fatalf("calendars %v: %v", calendars, err)
	}
	c := calendars[0]
	if c.Path != atCollection || c.Name != k.memory.snapshot.Name || c.Description != k.memory.snapshot.Description || c.MaxResourceSize != mostObjectBytes || !slices.Equal(c.SupportedComponentSet, []string{"VTODO"}) {
		t.Errorf("the collection is read as %+v", c)
	}

	cal := ical.NewCalendar()
	cal.Props.SetText(ical.PropVersion, "2.0")
	cal.Props.SetText(ical.PropProductID, "-//test//EN")
	todo := ical.NewComponent(ical.CompToDo)
	todo.Props.SetText(ical.PropUID, "new")
	todo.Props.SetDateTime(ical.PropDateTimeStamp, time.Date(2026, time.March, 1, 12, 0, 0, 0, time.UTC))
	todo.Props.SetDateTime(ical.PropDue, time.Date(2026, time.March, 10, 12, 0, 0, 0, time.UTC))
	todo.Props.SetText(ical.PropSummary, "Käse & ☕, <b>;\nnext line")
	cal.Children = append(cal.Children, todo)
	path := atCollection + "käse & ☕.ics"
	put, err := client.PutCalendarObject(ctx, path, cal)
	if err != nil || put.ETag == "" {
		t.Fatalf("stored as %+v: %v", put, err)
	}
	k.memory.keep(t, "later.ics", vtodo("later", "DUE:20270310T120000Z"))

	got, err := client.GetCalendarObject(ctx, path)
	if err != nil || got.ETag != put.ETag || !got.ModTime.Equal(put.ModTime) {
		t.Fatalf("fetched %+v: %v", got, err)
	}
	if summary, err := got.Data.Children[0].Props.Text(ical.PropSummary); err != nil || summary != "Käse & ☕, <b>;\nnext line" {
		t.Errorf("fetched %q: %v", summary, err)
	}
	found, err := client.QueryCalendar(ctx, c.Path, &caldav.CalendarQuery{
		CompRequest: caldav.CalendarCompRequest{Name: "VCALENDAR", Comps: []caldav.CalendarCompRequest{{Name: "VTODO", AllProps: true}}},
		CompFilter: caldav.CompFilter{Name: "VCALENDAR", Comps: []caldav.CompFilter{{
			Name: "VTODO", Start: time.Date(2026, time.March, 1, 0, 0, 0, 0, time.UTC), End: time.Date(2026, time.April, 1, 0, 0, 0, 0, time.UTC),
		}}},
	})
	if err != nil || len(found) != 1 || found[0].Path != path || found[0].ETag != put.ETag || uidOf(found[0].Data) != "new" {
		t.Errorf("found %+v: %v", found, err)
	}
	many, err := client.MultiGetCalendar(ctx, c.Path, &caldav.CalendarMultiGet{
		Paths:       []string{path, atCollection + "later.ics"},
		CompRequest: caldav.CalendarCompRequest{Name: "VCALENDAR", AllProps: true, AllComps: true},
	})
	if err != nil || len(many) != 2 || many[0].Path != path || uidOf(many[1].Data) != "later" {
		t.Errorf("got %+v: %v", many, err)
	}
	files, err := client.ReadDir(ctx, c.Path, false)
	if err != nil || len(files) != 3 {
		t.Errorf("listed %+v: %v", files, err)
	}
	if err := client.RemoveAll(ctx, path); err != nil || k.memory.find("käse & ☕.ics") != nil {
		t.Errorf("deleting: %v", err)
	}
	if err := client.RemoveAll(ctx, path); err == nil || !strings.Contains(err.Error(), "404") {
		t.Errorf("deleting what is gone: %v", err)
	}
	if err := client.Mkdir(ctx, atHome+"second"); err == nil || !strings.Contains(err.Error(), "403") {
		t.Errorf("making a collection: %v", err)
	}
}
