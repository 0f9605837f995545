package ical

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	goical "github.com/emersion/go-ical"
	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

var update = flag.Bool("update", false, "write the golden files anew")

// agenda is a small agenda for tests, with names that try the format. Invented.
func invented(location *time.Location) agenda.Agenda {
	today := record.NewDate(2026, time.March, 2)
	due := day.Due{
		Task: "machine/descale/steam", Equipment: "machine", Title: "Descale the steam boiler",
		Name:     "Käte’s, \"old\"; machine\\ ☕️ 咖啡机",
		Cautions: []string{"Steam burns; keep clear, always."}, MakeSafe: []string{"Switch off.\nWait."},
		Why: []string{"It falls due about 28 Mar 2026."}, Minutes: 120,
	}
	wide := due
	wide.Task, wide.Title = "machine/group-gasket/group", "Change the group gasket"
	return agenda.Agenda{
		Place: "kitchen", Name: "Küche, oben", Zone: location, Today: today, Base: "http://127.0.0.1:8321",
		Entries: []agenda.AgendaEntry{
			{UID: "kitchen.machine/descale/steam.7@limekeep", Due: due, Minutes: 120, Sequence: 3, Alarms: []time.Duration{24 * time.Hour},
				Start: time.Date(2026, time.March, 28, 10, 0, 0, 0, location), Changed: time.Date(2026, time.March, 1, 3, 10, 0, 0, time.UTC)},
			{UID: "kitchen.machine/group-gasket/group.0@limekeep", Due: wide, Minutes: 30, AllDay: true, Tentative: true,
				Start: time.Date(2026, time.November, 7, 0, 0, 0, 0, location), Changed: time.Date(2026, time.March, 2, 0, 0, 0, 0, time.UTC)},
		},
		Done: []agenda.DoneEntry{
			{UID: "kitchen.machine/soak-screen/group.0@limekeep", Task: "machine/soak-screen/group", Equipment: "machine", Name: due.Name, Title: "Soak the screen",
				On: today - 9, Record: 12, Entered: time.Date(2026, time.February, 21, 17, 4, 0, 0, time.UTC), Source: "page", Says: "Found fresh, 咖啡; again.",
				Sequence: 2, Changed: time.Date(2026, time.February, 22, 2, 10, 0, 0, time.UTC)},
		},
	}
}

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	location, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return location
}

func encode(t testing.TB, a agenda.Agenda) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Encode(&b, a); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestEncodeGolden(t *testing.T) {
	got := encode(t, invented(zone(t, "Europe/Vienna")))
	path := filepath.Join("testdata", "kitchen.ics")
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Error(diff)
	}
}

// listen reads a calendar with ical.js; whatever it remarks on is a failure.
func listen(t *testing.T, calendar []byte) heard {
	t.Helper()
	needsPrograms(t)
	clients := filepath.Join("..", "..", ".ci", "clients")
	if _, err := os.Stat(filepath.Join(clients, "node_modules", "ical.js")); err != nil {
		t.Fatal("the independent calendar library is not there: run `make clients`")
	}
	command := exec.CommandContext(t.Context(), "node", "read-icaljs.mjs")
	command.Dir = clients
	command.Stdin = bytes.NewReader(calendar)
	var remarks bytes.Buffer
	command.Stderr = &remarks
	out, err := command.Output()
	if err != nil {
		t.Fatalf("ical.js: %v\n%s", err, remarks.String())
	}
	var h heard
	if err := json.Unmarshal(out, &h); err != nil {
		t.Fatal(err)
	}
	return h
}

// ical.js, an independent library, reads every calendar without a remark, and
// the same dates, texts and alarms that went in.
func TestIndependentLibraryReadsTheSame(t *testing.T) {
	for _, name := range []string{"Europe/Vienna", "Asia/Kolkata", "America/St_Johns", "Australia/Lord_Howe", "Pacific/Chatham", "UTC"} {
		t.Run(name, func(t *testing.T) {
			a := invented(zone(t, name))
			h := listen(t, encode(t, a))
			if diff := cmp.Diff([]string{name}, h.Zones); diff != "" {
				t.Error(diff)
			}
			if len(h.Events) != len(a.Entries)+len(a.Done) {
				t.Fatalf("%d entries were read as %d", len(a.Entries), len(h.Events))
			}
			for i, e := range a.Entries {
				got := h.Events[i]
				start := e.Start.UTC().Format(time.RFC3339)
				minutes, alarms := e.Minutes, 1
				if e.AllDay {
					start, minutes, alarms = e.Start.Format(time.DateOnly), 24*60, 0
				}
				if got.UID != e.UID || got.Start != start || got.Minutes != minutes || got.AllDay != e.AllDay || got.Sequence != e.Sequence {
					t.Errorf("entry %+v was read as %+v", e, got)
				}
				if want := e.Changed.UTC().Format(time.RFC3339); got.Stamp != want {
					t.Errorf("stamp %v, want %v", got.Stamp, want)
				}
				if want := e.Due.Title + " (" + e.Due.Name + ")"; got.Summary != want {
					t.Errorf("summary %q, want %q", got.Summary, want)
				}
				if got.Description != description(e.Due) {
					t.Errorf("description %q, want %q", got.Description, description(e.Due))
				}
				if diff := cmp.Diff([]string{e.Due.Name}, got.Categories); diff != "" {
					t.Error(diff)
				}
				if len(got.Alarms) != alarms {
					t.Errorf("alarms %v, want %d", got.Alarms, alarms)
				}
				if got.URL != a.Base+"/tasks/"+e.Due.Task {
					t.Errorf("url %q", got.URL)
				}
			}
		})
	}
}

// With nothing due the place's time zone is still there, so that the calendar
// holds the component that RFC 5545, 3.6 asks for.
func TestNothingDueIsAValidCalendar(t *testing.T) {
	a := invented(zone(t, "Europe/Vienna"))
	a.Entries, a.Done = nil, nil
	h := listen(t, encode(t, a))
	if len(h.Zones) != 1 || len(h.Events) != 0 {
		t.Errorf("read %+v, want one zone and no events", h)
	}
}

// The routine is one entry that recurs daily (RFC 5545, 3.8.5.3), which an
// independent library reads as well.
func TestRoutineRecurs(t *testing.T) {
	a := invented(zone(t, "Europe/Vienna"))
	a.Entries, a.Done = a.Entries[1:], nil
	a.Entries[0].EveryDays = 1
	calendar := encode(t, a)
	if !bytes.Contains(calendar, []byte("\r\nRRULE:FREQ=DAILY;INTERVAL=1\r\n")) {
		t.Errorf("no rule in\n%s", calendar)
	}
	if h := listen(t, calendar); len(h.Events) != 1 || !h.Events[0].AllDay {
		t.Errorf("read %+v", h.Events)
	}
}

// Cautions stand before anything else in what a calendar shows.
func TestCautionsComeFirst(t *testing.T) {
	text := description(invented(time.UTC).Entries[0].Due)
	caution, safe, why := strings.Index(text, "Steam burns"), strings.Index(text, "Switch off"), strings.Index(text, "falls due")
	if caution < 0 || safe < caution || why < safe {
		t.Errorf("caution at %d, make safe at %d, why at %d", caution, safe, why)
	}
}

// RFC 5545, 3.1: no line is longer than 75 octets, no character is split, each
// line ends with CR LF; unfolded again the text is what went in.
func TestFoldingKeepsCharactersWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.String().Draw(t, "name")
		a := invented(time.UTC)
		a.Entries = a.Entries[:1]
		a.Entries[0].Due.Name = name
		var b bytes.Buffer
		if err := Encode(&b, a); err != nil {
			t.Fatal(err)
		}
		for line := range strings.SplitSeq(strings.TrimSuffix(b.String(), "\r\n"), "\r\n") {
			if len(line) > 75 || !utf8.ValidString(line) || strings.ContainsAny(line, "\r\n") {
				t.Fatalf("line of %d octets: %q", len(line), line)
			}
		}
		cal, err := goical.NewDecoder(&b).Decode()
		if err != nil {
			t.Fatal(err)
		}
		summary, err := cal.Events()[0].Props.Text(goical.PropSummary)
		if err != nil {
			t.Fatal(err)
		}
		if want := a.Entries[0].Due.Title + " (" + clean(name) + ")"; summary != want {
			t.Fatalf("summary %q, want %q", summary, want)
		}
	})
}
