package journal_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"limekeep/schedule/agenda"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

func tick(t testing.TB, d *sample.Kitchen, what journal.Tick) journal.Ticked {
	t.Helper()
	done, err := byPhone(d).Tick(context.Background(), d.Day(t, at), what)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

// An entry stands for one turn, so that a tick writes one service down, whatever
// is sent again; the record says which app it came from.
func TestTickWritesOneService(t *testing.T) {
	d, records := sample.SetUp(t, sample.Lever())
	const task = "lever/soak-screen/group"
	first := sample.EntryOf(t, sample.AgendaOf(t, d, at), task).UID
	before := len(records.Of(record.KindService))
	done := tick(t, d, journal.Tick{Entry: first, At: noon.Add(-30 * time.Hour)})
	if done.Record == 0 || done.Done == nil || done.Why != "" {
		t.Fatalf("ticked: %+v", done)
	}
	for range 3 {
		if again := tick(t, d, journal.Tick{Entry: first}); again.Record != 0 || again.Done != nil || again.Why == "" {
			t.Errorf("ticked again: %+v", again)
		}
	}
	services := records.Of(record.KindService)
	if len(services) != before+1 {
		t.Fatalf("%d services, want %d", len(services), before+1)
	}
	last := services[len(services)-1]
	if last.Source != "task app: phone" || last.Effective != today-1 || last.Body.(record.Service).Task != task {
		t.Errorf("the record is %+v", last)
	}
	// The entry is done under the UID it had, the next turn has another.
	a := sample.AgendaOf(t, d, at)
	var shown *agenda.DoneEntry
	for i := range a.Done {
		if a.Done[i].UID == first {
			shown = &a.Done[i]
		}
	}
	if shown == nil || shown.Record != done.Record || shown.On != today-1 || shown.Source != last.Source || shown.Content() != done.Done.Content() {
		t.Errorf("done it shows as %+v, was said to show as %+v", shown, done.Done)
	}
	if next := sample.EntryOf(t, a, task).UID; next == first || !strings.HasSuffix(next, "@limekeep") {
		t.Errorf("the next turn is called %s", next)
	}
}

// A tick on a day that cannot be is of today.
func TestTickDays(t *testing.T) {
	for _, c := range []struct {
		name string
		at   time.Time
		on   record.Date
	}{
		{"not said", time.Time{}, today},
		{"a week ago", noon.AddDate(0, 0, -7), today - 7},
		{"to come", noon.AddDate(0, 0, 3), today},
		{"before it was bought", noon.AddDate(-30, 0, 0), today},
		{"late in the evening in Greenwich, next day in Kolkata", time.Date(2026, 2, 27, 19, 0, 0, 0, time.UTC), record.NewDate(2026, 2, 28)},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, records := sample.SetUp(t, sample.Lever())
			tick(t, d, journal.Tick{Entry: sample.EntryOf(t, sample.AgendaOf(t, d, at), "lever/soak-screen/group").UID, At: c.at})
			services := records.Of(record.KindService)
			if got := services[len(services)-1].Effective; got != c.on {
				t.Errorf("on %s, want %s", got, c.on)
			}
		})
	}
}

// Within an hour an app takes back what an app ticked off, and nothing else.
func TestUntick(t *testing.T) {
	const task = "lever/soak-screen/group"
	setup := func(t *testing.T) (*sample.Kitchen, *time.Time, string) {
		d, _ := sample.SetUp(t, sample.Lever())
		clock := noon
		d.Now = func() time.Time { return clock }
		return d, &clock, sample.EntryOf(t, sample.AgendaOf(t, d, at), task).UID
	}
	t.Run("soon", func(t *testing.T) {
		d, clock, uid := setup(t)
		tick(t, d, journal.Tick{Entry: uid})
		*clock = clock.Add(59 * time.Minute)
		if back := tick(t, d, journal.Tick{Entry: uid, Open: true}); back.Record == 0 {
			t.Errorf("it was not taken back: %s", back.Why)
		}
		if got := sample.EntryOf(t, sample.AgendaOf(t, d, at), task).UID; got != uid {
			t.Errorf("open again it is called %s, was %s", got, uid)
		}
		if again := tick(t, d, journal.Tick{Entry: uid, Open: true}); again.Record != 0 {
			t.Error("taken back twice")
		}
		if done := tick(t, d, journal.Tick{Entry: uid}); done.Record == 0 {
			t.Error("it cannot be ticked off any more")
		}
	})
	t.Run("too late", func(t *testing.T) {
		d, clock, uid := setup(t)
		tick(t, d, journal.Tick{Entry: uid})
		*clock = clock.Add(61 * time.Minute)
		if back := tick(t, d, journal.Tick{Entry: uid, Open: true}); back.Record != 0 || !strings.Contains(back.Why, "hour") {
			t.Errorf("taken back after an hour: %+v", back)
		}
	})
	t.Run("from elsewhere", func(t *testing.T) {
		d, _, uid := setup(t)
		if _, err := d.Journal.Done(context.Background(), d.Day(t, at), today, record.Service{Task: task}); err != nil {
			t.Fatal(err)
		}
		if back := tick(t, d, journal.Tick{Entry: uid, Open: true}); back.Record != 0 {
			t.Error("an app took back what a command wrote down")
		}
	})
	t.Run("done again since", func(t *testing.T) {
		d, _, uid := setup(t)
		tick(t, d, journal.Tick{Entry: uid})
		tick(t, d, journal.Tick{Entry: sample.EntryOf(t, sample.AgendaOf(t, d, at), task).UID})
		if back := tick(t, d, journal.Tick{Entry: uid, Open: true}); back.Record != 0 {
			t.Error("the service before the last was taken back")
		}
	})
}

// What needs values is not done by a tick; what is unknown is an error.
func TestTickIsNotEnough(t *testing.T) {
	d, records := sample.SetUp(t, sample.Lever())
	entry := sample.EntryOf(t, sample.AgendaOf(t, d, at), "tank/water-test").UID
	before := records.Count()
	if got := tick(t, d, journal.Tick{Entry: entry}); got.Record != 0 || !strings.Contains(got.Why, "write them down with `<test>`") {
		t.Errorf("a water test by a tick: %+v", got)
	}
	if records.Count() != before {
		t.Error("something was written down")
	}
	for _, uid := range []string{"", "hut", "hut.lever/soak-screen/group.99@limekeep", "hut.lever/soak-screen/group@limekeep", "hut.nothing.0@limekeep", "bar.lever/soak-screen/group.0@limekeep", "hut.lever/soak-screen/group.-1@limekeep"} {
		if _, err := byPhone(d).Tick(context.Background(), d.Day(t, at), journal.Tick{Entry: uid}); !errors.Is(err, record.ErrUnknown) {
			t.Errorf("%q: %v", uid, err)
		}
	}
}

// The routine of a day is written down once for each of its tasks.
func TestTickRoutine(t *testing.T) {
	d, records := sample.SetUp(t, sample.Bar())
	d.Publisher.Routine = true
	routine := func() agenda.AgendaEntry {
		for _, e := range sample.AgendaOf(t, d, at).Entries {
			if e.EveryDays > 0 {
				return e
			}
		}
		t.Fatal("no routine")
		return agenda.AgendaEntry{}
	}
	sample.Publish(t, d, at)
	e := routine()
	if len(e.Routine) == 0 || e.Next != today {
		t.Fatalf("routine of %v, next %s", e.Routine, e.Next)
	}
	before := len(records.Of(record.KindService))
	for i, want := range []int{len(e.Routine), 0} {
		n, err := byPhone(d).TickRoutine(context.Background(), d.Day(t, at), e.Routine, today)
		if err != nil || n != want {
			t.Errorf("time %d: %d services, %v, want %d", i+1, n, err, want)
		}
	}
	if n := len(records.Of(record.KindService)); n != before+len(e.Routine) {
		t.Errorf("%d services more, want %d", n-before, len(e.Routine))
	}
	after := routine()
	if after.Next != today+1 || after.UID != e.UID || after.Content() != e.Content() {
		t.Errorf("next day %s; the entry is %s, was %s", after.Next, after.UID, e.UID)
	}
	if n, err := byPhone(d).TickRoutine(context.Background(), d.Day(t, at), e.Routine, today+1); n != 0 || err != nil {
		t.Errorf("tomorrow was done today: %d, %v", n, err)
	}
}

// What was done shows for a year, but for the daily routine.
func TestDoneShowsForAYear(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Lever())
	ctx := context.Background()
	const task = "lever/soak-screen/group"
	for _, on := range []record.Date{today - 400, today - 365, today - 364, today - 10} {
		if _, err := d.Journal.Done(ctx, d.Day(t, at), on, record.Service{Task: task, Note: "with 咖啡"}); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := d.Journal.Done(ctx, d.Day(t, at), today-3, record.Service{Task: "lever/flush-group/group"}); err != nil {
		t.Fatal(err)
	}
	daily := sample.DueOf(t, sample.DuesOf(t, d, at), "lever/flush-group/group").Routine
	var days []record.Date
	seen := map[string]bool{}
	for _, e := range sample.AgendaOf(t, d, at).Done {
		if seen[e.UID] {
			t.Errorf("%s is there twice", e.UID)
		}
		seen[e.UID] = true
		if e.Task == task {
			days = append(days, e.On)
			if !strings.Contains(e.Says, "咖啡") || e.Source != "test" {
				t.Errorf("it says %q, from %q", e.Says, e.Source)
			}
		} else if daily {
			t.Errorf("%s is daily and shows as done", e.Task)
		}
	}
	if len(days) != 2 || days[0] != today-364 || days[1] != today-10 {
		t.Errorf("done on %v", days)
	}
	for _, e := range sample.AgendaOf(t, d, at).Entries {
		if seen[e.UID] {
			t.Errorf("%s is both open and done", e.UID)
		}
	}
}

// A sequence goes on from open to done and back.
func TestSequenceGoesOnWhenDone(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Lever())
	const task = "lever/soak-screen/group"
	sample.Publish(t, d, at)
	uid := sample.EntryOf(t, sample.AgendaOf(t, d, at), task).UID
	done := tick(t, d, journal.Tick{Entry: uid})
	sample.Publish(t, d, at)
	sequence := func() int {
		for _, e := range sample.AgendaOf(t, d, at).Done {
			if e.UID == uid {
				return e.Sequence
			}
		}
		return -1
	}
	if n := sequence(); n != 1 {
		t.Errorf("done with sequence %d, want 1", n)
	}
	if sample.Publish(t, d, at) {
		t.Error("published twice though nothing changed")
	}
	if _, err := d.Journal.Void(context.Background(), d.Day(t, at), done.Record, ""); err != nil {
		t.Fatal(err)
	}
	sample.Publish(t, d, at)
	if e := sample.EntryOf(t, sample.AgendaOf(t, d, at), task); e.UID != uid || e.Sequence != 2 {
		t.Errorf("open again it is %s with sequence %d", e.UID, e.Sequence)
	}
}
