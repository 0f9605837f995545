package journal_test

import (
	"context"
	"testing"

	"limekeep/schedule/agenda"
	"limekeep/schedule/journal"
	"limekeep/schedule/sample"
)

func takeTask(t testing.TB, d *sample.Kitchen, task journal.NewTask, wantNew bool) {
	t.Helper()
	_, wrote, err := byPhone(d).TakeAppTask(context.Background(), d.Day(t, at), task)
	if err != nil || wrote != wantNew {
		t.Fatalf("%+v: new %t, %v", task, wrote, err)
	}
}

// A to-do of an app's own becomes a task that falls due on its day, keeps its
// identity until it is done, and goes when it was to be done once.
func TestAppTask(t *testing.T) {
	for _, c := range []struct {
		name  string
		every float64
		again bool
	}{{"once", 0, false}, {"every month", 30, true}} {
		t.Run(c.name, func(t *testing.T) {
			d, _ := sample.SetUp(t, sample.Lever())
			task := journal.NewTask{UID: "ABC-1", Name: "abc.ics", Title: "Polish the lever 🪞", Details: "with a cloth", Due: today + 40, EveryDays: c.every, Categories: []string{"nobody", "lever"}}
			takeTask(t, d, task, true)
			takeTask(t, d, task, false)
			find := func() (agenda.AgendaEntry, bool) {
				for _, e := range sample.AgendaOf(t, d, at).Entries {
					if e.Due.Title == task.Title {
						return e, true
					}
				}
				return agenda.AgendaEntry{}, false
			}
			e, ok := find()
			if !ok || e.Sent != (agenda.SentAs{UID: "ABC-1", Name: "abc.ics"}) || e.Due.Equipment != "lever" {
				t.Fatalf("it shows as %+v", e)
			}
			if e.Due.Likely == nil || *e.Due.Likely != today+40 {
				t.Errorf("likely on %v, want %s", e.Due.Likely, today+40)
			}
			// Another day moves it, and it stays the one task.
			task.Due = today + 50
			takeTask(t, d, task, true)
			if moved, _ := find(); moved.UID != e.UID || *moved.Due.Likely != today+50 {
				t.Errorf("moved it is %s, likely on %v", moved.UID, moved.Due.Likely)
			}
			tick(t, d, journal.Tick{Entry: e.UID})
			next, ok := find()
			if ok != c.again || ok && (next.Sent.UID != "" || *next.Due.Likely != today+30) {
				t.Errorf("done, it shows again %t as %+v", ok, next)
			}
			done := sample.AgendaOf(t, d, at).Done
			if n := len(done); n == 0 || done[n-1].Sent.UID != "ABC-1" || done[n-1].UID != e.UID {
				t.Errorf("done it shows as %+v", done)
			}
		})
	}
}

// Deleted by its app the task goes, and comes back when that is taken back.
func TestAppTaskIsDropped(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Lever())
	takeTask(t, d, journal.NewTask{UID: "x", Name: "x.ics", Title: "T"}, true)
	id := agendaTask(t, d, "T")
	for _, c := range []struct {
		dropped bool
		did     bool
		there   bool
	}{{true, true, false}, {true, false, false}, {false, true, true}, {false, false, true}} {
		did, err := byPhone(d).DropAppTask(context.Background(), d.Day(t, at), id, c.dropped)
		if err != nil || did != c.did {
			t.Errorf("did %t, %v, want %t", did, err, c.did)
		}
		if there := agendaTask(t, d, "T") != ""; there != c.there {
			t.Errorf("there %t, want %t", there, c.there)
		}
	}
	if did, err := byPhone(d).DropAppTask(context.Background(), d.Day(t, at), "lever/soak-screen/group", true); did || err != nil {
		t.Errorf("a task of the catalogue was dropped: %t, %v", did, err)
	}
}

// agendaTask gives the id of the task with a title, empty where none has it.
func agendaTask(t testing.TB, d *sample.Kitchen, title string) string {
	for _, e := range sample.AgendaOf(t, d, at).Entries {
		if e.Due.Title == title {
			return e.Due.Task
		}
	}
	return ""
}

// What cannot be a task is refused with a reason.
func TestAppTaskIsRefused(t *testing.T) {
	d, records := sample.SetUp(t, sample.Lever())
	before := records.Count()
	for _, task := range []journal.NewTask{
		{UID: "a", Name: "", Title: "no address"},
		{UID: "", Name: "a.ics", Title: "no identity"},
		{UID: "a", Name: "a.ics", Title: "control \x01 character"},
		{UID: "a", Name: "a.ics", Title: "T", EveryDays: 1e9},
	} {
		if _, _, err := byPhone(d).TakeAppTask(context.Background(), d.Day(t, at), task); err == nil {
			t.Errorf("%+v was taken", task)
		}
	}
	if records.Count() != before {
		t.Error("something was written down")
	}
}

// RFC 5545, 3.3.10: an app's own to-do comes as often as its COUNT has it, and no
// more once its UNTIL is past.
func TestAppTaskEnds(t *testing.T) {
	for _, c := range []struct {
		name  string
		task  journal.NewTask
		ticks int // after which it comes no more; 3 for none of three
	}{
		{"no end", journal.NewTask{EveryDays: 30}, 3},
		{"twice", journal.NewTask{EveryDays: 30, Times: 2}, 2},
		{"once in all", journal.NewTask{EveryDays: 30, Times: 1}, 1},
		{"until its next day", journal.NewTask{EveryDays: 30, Until: today + 30}, 3},
		{"until the day before", journal.NewTask{EveryDays: 30, Until: today + 29}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, _ := sample.SetUp(t, sample.Lever())
			c.task.UID, c.task.Name, c.task.Title, c.task.Due = "ABC-1", "abc.ics", "Polish\r\n the\tlever", today+40
			takeTask(t, d, c.task, true)
			for n := 1; n <= 3; n++ {
				uid := ""
				for _, e := range sample.AgendaOf(t, d, at).Entries {
					if e.Due.Title == "Polish the lever" {
						uid = e.UID
					}
				}
				if there := uid != ""; there != (n <= c.ticks) {
					t.Fatalf("before tick %d it is there: %t", n, there)
				}
				if uid == "" {
					return
				}
				tick(t, d, journal.Tick{Entry: uid})
			}
		})
	}
}
