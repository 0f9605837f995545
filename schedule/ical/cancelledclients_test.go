package ical

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"limekeep/schedule/agenda"
)

// calledOff returns an agenda in which every third entry of another is cancelled,
// an hour later, and the UIDs of those.
func calledOff(a agenda.Agenda) (agenda.Agenda, []string) {
	var open []agenda.AgendaEntry
	var uids []string
	for i, e := range a.Entries {
		if i%3 > 0 || e.EveryDays > 0 {
			open = append(open, e)
			continue
		}
		a.Cancelled = append(a.Cancelled, agenda.CancelledEntry{
			UID: e.UID, Summary: e.Due.Title, Start: e.Start, AllDay: e.AllDay, Since: a.Today,
			Sequence: e.Sequence + 1, Changed: e.Changed.Add(time.Hour),
		})
		uids = append(uids, e.UID)
	}
	a.Entries = open
	return a, uids
}

// Entries that are cancelled (RFC 5545, 3.8.1.11) keep to the standard, and every
// client reads them as cancelled, at their time, under the next sequence number.
func TestClientsReadWhatIsCancelled(t *testing.T) {
	needsPrograms(t)
	const places = 30
	feeds := t.TempDir()
	want := map[string]map[string]agenda.CancelledEntry{}
	for seed := range uint64(places) {
		a, _ := calledOff(household(seed))
		file, data := fmt.Sprintf("%d.ics", seed), encode(t, a)
		for _, f := range checkFeed(data) {
			t.Errorf("%s: %v", file, f)
		}
		write(t, feeds, file, data)
		want[file] = map[string]agenda.CancelledEntry{}
		for _, e := range a.Cancelled {
			want[file][e.UID] = e
		}
	}
	readers := append(slices.Clone(clients), client{name: "Ruby's icalendar", run: rubyIcalendar})
	for _, c := range readers {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			read := c.hear(t, feeds)
			cancelled := 0
			for file, entries := range want {
				there := map[string]bool{}
				for _, item := range read[file].Events {
					e, ok := entries[item.UID]
					if !ok {
						continue
					}
					there[item.UID] = true
					cancelled++
					if c.name == "Ruby's icalendar" { // its reader gives no status
						continue
					}
					if item.Status != "CANCELLED" || item.Sequence != e.Sequence || item.AllDay != e.AllDay {
						t.Errorf("%s: %s has status %q, sequence %d, whole day %t; want cancelled, %d, %t", file, item.UID, item.Status, item.Sequence, item.AllDay, e.Sequence, e.AllDay)
					}
				}
				if len(there) != len(entries) {
					t.Errorf("%s: %d of %d cancelled entries are there", file, len(there), len(entries))
				}
			}
			if cancelled < places {
				t.Errorf("only %d cancelled entries were read", cancelled)
			}
		})
	}
}

// khal, which has taken a calendar in, lets go of what the next one cancels: it
// shows it as cancelled, once, and the rest as it was.
func TestKhalTakesWhatIsCancelled(t *testing.T) {
	needsPrograms(t)
	home := t.TempDir()
	write(t, home, "khal.conf", []byte(strings.NewReplacer("HOME", home, "ZONE", shownZone).Replace(`[calendars]
[[care]]
path = HOME/care
type = calendar
[sqlite]
path = HOME/khal.db
[locale]
local_timezone = ZONE
default_timezone = ZONE
timeformat = %H:%M:%S
dateformat = %Y-%m-%d
longdateformat = %Y-%m-%d
datetimeformat = %Y-%m-%d %H:%M:%S
longdatetimeformat = %Y-%m-%d %H:%M:%S
[default]
default_calendar = care
`)))
	if err := os.Mkdir(filepath.Join(home, "care"), 0o755); err != nil {
		t.Fatal(err)
	}
	was := household(4)
	now, uids := calledOff(was)
	conf := filepath.Join(home, "khal.conf")
	for i, a := range []agenda.Agenda{was, now} {
		file := fmt.Sprintf("%d.ics", i)
		write(t, home, file, encode(t, a))
		run(t, home, "khal", "-c", conf, "import", "--batch", "-a", "care", filepath.Join(home, file))
		out := run(t, home, "khal", "-c", conf, "list", "--once", "--day-format", "", "--format", "{uid}\x1f{status}\x1e", "2025-01-01", "2030-06-01")
		got := map[string][]string{}
		for line := range strings.SplitSeq(string(out), "\x1e") {
			if uid, status, ok := strings.Cut(strings.TrimPrefix(line, "\n"), "\x1f"); ok {
				got[uid] = append(got[uid], strings.TrimSpace(status))
			}
		}
		for _, uid := range uids {
			if i == 0 && (len(got[uid]) != 1 || got[uid][0] == "CANCELLED") {
				t.Errorf("at first %s is shown as %q", uid, got[uid])
			}
			if i == 1 && !slices.Equal(got[uid], []string{"CANCELLED"}) {
				t.Errorf("cancelled, %s is shown as %q", uid, got[uid])
			}
		}
		if len(got) < len(was.Entries) {
			t.Errorf("%d entries are shown of %d", len(got), len(was.Entries))
		}
	}
	if len(uids) == 0 {
		t.Fatal("nothing was cancelled")
	}
}
