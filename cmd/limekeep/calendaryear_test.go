package main

import (
	"context"
	"fmt"
	"hash/fnv"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// shownEntry is what a calendar program keeps of an entry.
type shownEntry struct {
	start, stamp, modified, status, summary string
	sequence                                int
	whole                                   string // all that is shown, but stamps and links
}

// links lead back to the pages, where there are any.
var links = regexp.MustCompile(`https?://[^\\ ]*\\n|\\nhttps?://[^\\ ]*$`)

// readEntries reads a calendar file as a calendar program does, by UID.
func readEntries(t *testing.T, path string) map[string]shownEntry {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	return entriesIn(t, file)
}

func entriesIn(t *testing.T, r io.Reader) map[string]shownEntry {
	t.Helper()
	calendar, err := goical.NewDecoder(r).Decode()
	if err != nil {
		t.Fatal(err)
	}
	text := func(c *goical.Component, name string) string {
		if p := c.Props.Get(name); p != nil {
			return p.Value
		}
		return ""
	}
	shown := map[string]shownEntry{}
	for _, c := range calendar.Children {
		if c.Name != goical.CompEvent {
			continue
		}
		e := shownEntry{
			start: text(c, "DTSTART"), stamp: text(c, "DTSTAMP"), modified: text(c, "LAST-MODIFIED"),
			status: text(c, "STATUS"), summary: text(c, "SUMMARY"),
		}
		if said := text(c, "SEQUENCE"); said != "" {
			if _, err := fmt.Sscan(said, &e.sequence); err != nil {
				t.Fatalf("SEQUENCE %q: %v", said, err)
			}
		}
		names := []string{}
		for name := range c.Props {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			if name != "DTSTAMP" && name != "LAST-MODIFIED" && name != "SEQUENCE" && name != "URL" {
				e.whole += name + "=" + links.ReplaceAllString(text(c, name), "") + "\n"
			}
		}
		shown[text(c, "UID")] = e
	}
	return shown
}

// calendarDiary follows a calendar from day to day as a program that keeps it
// does.
type calendarDiary struct {
	what  string
	was   map[string]shownEntry
	moves int // open entries that stand at another time
	ended int // open entries that are cancelled
	news  int // entries that show something else
	seen  int // entries looked at, day by day
}

// follow holds a day's entries against those of the day before, by what RFC 5545
// says of UID (3.8.4.7), SEQUENCE (3.8.7.4), DTSTAMP (3.8.7.2) and LAST-MODIFIED
// (3.8.7.3): an entry that shows something else has a higher sequence and a later
// stamp, one that shows the same has the same. None goes but what was done longer
// ago than the owner keeps, and what has been shown as cancelled (3.8.1.11) until
// well after its day.
func (c *calendarDiary) follow(t *testing.T, today record.Date, now map[string]shownEntry) {
	t.Helper()
	oldest := (today - 365).In(time.UTC).Format("20060102")
	for uid, before := range c.was {
		after, ok := now[uid]
		wasDone := strings.HasPrefix(before.summary, "Done: ")
		c.seen++
		switch {
		case !ok && wasDone && before.start <= oldest:
		case !ok && before.status == "CANCELLED" && before.start < (today-30).In(time.UTC).Format("20060102"):
		case !ok:
			t.Errorf("%s: the %s no longer has %s (%s, %s)", today, c.what, uid, before.start, before.summary)
		case before.whole == after.whole:
			if before.sequence != after.sequence || before.stamp != after.stamp || before.modified != after.modified {
				t.Errorf("%s: the %s shows %s as it was under another sequence or stamp", today, c.what, uid)
			}
		default:
			c.news++
			if after.sequence <= before.sequence || after.stamp <= before.stamp || after.modified <= before.modified {
				t.Errorf("%s: the %s changed %s from sequence %d to %d, stamp %s to %s, modified %s to %s",
					today, c.what, uid, before.sequence, after.sequence, before.stamp, after.stamp, before.modified, after.modified)
			}
		}
		isDone := strings.HasPrefix(after.summary, "Done: ")
		if ok && wasDone && !isDone {
			t.Errorf("%s: in the %s %s was done and is open again", today, c.what, uid)
		}
		if ok && after.status == "CANCELLED" && before.status != "CANCELLED" {
			c.ended++
			t.Logf("%s: in the %s %s of %s is cancelled: %s", today, c.what, uid, before.start, before.summary)
		}
		if ok && !isDone && before.start != after.start {
			c.moves++
			t.Logf("%s: in the %s %s moves from %s to %s: %s", today, c.what, uid, before.start, after.start, after.summary)
		}
	}
	c.was = now
}

// The demo's kitchen goes on for weeks, or a year, and its calendar is written to
// a file every day and served every day. Four of five tasks are written
// down on the day they stand on, and one a week ahead of it. File and server show the same, whichever comes first.
func TestCalendarFromDayToDay(t *testing.T) {
	if testing.Short() {
		t.Skip("it lives through weeks of a kitchen; make test does")
	}
	days := record.Date(40)
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		days = 365
	}
	ctx := t.Context()
	h := testHouse(t, 60)
	if days == 40 {
		// What is kept of a plan does not hang on how near it is to the best, on how finely
		// its windows are drawn, nor on how far beyond these weeks it reaches.
		h.days.Worlds, h.days.PlanEffort, h.days.PlanMonths = 25, 200_000, 8
	}
	first := record.NewDate(2026, time.November, 24)
	m, err := fillKitchen(ctx, h, schedule.Moment{Today: first})
	if err != nil {
		t.Fatal(err)
	}
	h.days.Now = func() time.Time { return m.Today.In(time.UTC).Add(12 * time.Hour) }
	path := filepath.Join(t.TempDir(), "care.ics")
	sittings, single := calendarDiary{what: "calendar of sittings"}, calendarDiary{what: "calendar of single tasks"}
	var done map[string]agenda.AgendaEntry
	for m.Today = first; m.Today < first+days; m.Today++ {
		if m.Today > first {
			logDay(ctx, t, h, m)
		}
		var served map[string]shownEntry
		if m.Today%2 == 0 {
			served = servedEntries(t, h, m)
		}
		a, err := publishFile(ctx, h.publisher, m, path, "")
		if err != nil {
			t.Fatal(err)
		}
		written := readEntries(t, path)
		if m.Today%2 == 1 {
			served = servedEntries(t, h, m)
		}
		if !maps.Equal(written, served) {
			t.Errorf("%s: the file shows other entries than the server", m.Today)
		}
		sittings.follow(t, m.Today, written)
		a.Grouped = !a.Grouped
		if err := writeCalendar(path, a); err != nil {
			t.Fatal(err)
		}
		single.follow(t, m.Today, readEntries(t, path))
		notTooSoon(t, m.Today, done, a)
		done = doSome(ctx, t, h, m, a)
	}
	for _, c := range []calendarDiary{sittings, single} {
		t.Logf("%d days, %s: %d entries open or done at last, %d moved, %d cancelled, %d of %d changed from a day to the next", days, c.what, len(c.was), c.moves, c.ended, c.news, c.seen)
		if most := min(int(days), 360); c.moves > most {
			t.Errorf("%s: %d moves in %d days, want at most %d", c.what, c.moves, days, most)
		}
	}
}

// servedEntries subscribes to the calendar of a server over the same records.
func servedEntries(t *testing.T, h *house, m schedule.Moment) map[string]shownEntry {
	t.Helper()
	const secret = "a-secret"
	pages := &web.Server{
		Days: h.days, Journal: h.journal, Publisher: h.publisher, Place: m.Place,
		Secret: func(context.Context) (string, error) { return secret, nil },
	}
	response := httptest.NewRecorder()
	pages.Handler().ServeHTTP(response, httptest.NewRequest(http.MethodGet, "/calendar/"+secret+"/limekeep.ics", nil))
	if response.Code != http.StatusOK {
		t.Fatalf("the server answers %d: %s", response.Code, response.Body)
	}
	return entriesIn(t, response.Body)
}

// notTooSoon holds what was done the day before against what the calendar says of
// the next turn: it stands later than the turn that was done, and throws no more
// than a third of its likely life away before its window begins.
func notTooSoon(t *testing.T, today record.Date, done map[string]agenda.AgendaEntry, a agenda.Agenda) {
	t.Helper()
	for task, before := range done {
		i := slices.IndexFunc(a.Entries, func(e agenda.AgendaEntry) bool { return e.Due.Task == task && !e.Order && e.EveryDays == 0 })
		if i < 0 {
			continue // beyond the plan, or routine
		}
		after := a.Entries[i]
		on, stood := record.DateOf(after.Start), record.DateOf(before.Start)
		if on <= stood {
			t.Errorf("%s: %s was done, stood on %s, and stands again on %s", today-1, task, stood, on)
		}
		if early, likely := after.Due.Early, after.Due.Likely; early != nil && likely != nil && on < *early-(*likely-today)/3 {
			t.Errorf("%s: %s was done and stands again on %s, before its window, %s to %s", today-1, task, on, early, after.Due.Late)
		}
	}
}

// doSome writes down what stands on the day but for one task in five, which nobody
// remembers; and once a week one of the tasks of the next sitting ahead of its day.
// It returns the entries of what was done.
func doSome(ctx context.Context, t *testing.T, h *house, m schedule.Moment, a agenda.Agenda) map[string]agenda.AgendaEntry {
	t.Helper()
	f, err := openDay(ctx, t, h, m).Forecast(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if f, err = f.Published(ctx); err != nil {
		t.Fatal(err)
	}
	p := f.Plan()
	ahead := false
	done := map[string]agenda.AgendaEntry{}
	for i := range p.Sittings {
		s := &p.Sittings[i]
		on := record.DateOf(s.Start)
		early := !ahead && m.Today%7 == 0 && on > m.Today && on <= m.Today+7
		s.Turns = slices.DeleteFunc(s.Turns, func(turn day.TurnInfo) bool {
			dice := fnv.New32a()
			fmt.Fprint(dice, turn.Task, m.Today)
			return dice.Sum32()%5 == 0 || turn.Turn != 1
		})
		if early && len(s.Turns) > 0 {
			ahead = true
			s.Turns, s.Start = s.Turns[:1], m.Today.In(s.Start.Location()).Add(time.Hour)
		}
		if record.DateOf(s.Start) != m.Today {
			continue
		}
		for _, turn := range s.Turns {
			if i := slices.IndexFunc(a.Entries, func(e agenda.AgendaEntry) bool { return e.Due.Task == turn.Task }); i >= 0 {
				done[turn.Task] = a.Entries[i]
			}
		}
	}
	doToday(ctx, t, h, m, p)
	return done
}
