package agenda_test

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// checkAgenda checks what must be true of every agenda.
func checkAgenda(t *testing.T, a agenda.Agenda, dues []day.Due) {
	t.Helper()
	seen := map[string]bool{}
	var begins time.Time
	for _, e := range a.Entries {
		due := sample.DueOf(t, dues, e.Due.Task)
		if seen[e.UID] {
			t.Errorf("%s is there twice", e.UID)
		}
		seen[e.UID] = true
		wide := (due.Early == nil || due.Late == nil || *due.Late-*due.Early > 60) && due.CallBy == nil
		if e.Tentative != (wide && !due.Overdue) {
			t.Errorf("%s: tentative %t, window %v to %v, overdue %t", e.UID, e.Tentative, due.Early, due.Late, due.Overdue)
		}
		if e.AllDay != (e.Tentative || due.Routine || due.CallBy != nil) {
			t.Errorf("%s: all day %t, tentative %t, routine %t", e.UID, e.AllDay, e.Tentative, due.Routine)
		}
		if e.Minutes != due.Minutes || e.Start.Location().String() != a.Zone.String() || record.DateOf(e.Start) < a.Today {
			t.Errorf("%s: %v minutes at %s", e.UID, e.Minutes, e.Start)
		}
		if e.AllDay {
			if !e.Start.Equal(record.DateOf(e.Start).In(a.Zone)) {
				t.Errorf("%s takes all day and begins at %s", e.UID, e.Start)
			}
			continue
		}
		if e.Start.Before(begins) { // one may lie in the waits of another
			t.Errorf("%s begins at %s, the one before at %s", e.UID, e.Start, begins)
		}
		begins = e.Start
	}
	for _, due := range dues {
		planned := slices.ContainsFunc(a.Entries, func(e agenda.AgendaEntry) bool { return e.Due.Task == due.Task })
		if want := due.Sitting != nil && due.CoveredBy == "" || due.CallBy != nil || due.OnItsDay && due.Likely != nil; planned != want {
			t.Errorf("%s: in the agenda %t, sitting %v, routine %t", due.Task, planned, due.Sitting, due.Routine)
		}
	}
}

// named is what a calendar calls a place: its id where it has no name.
func named(p record.Place) string {
	if p.Name == "" {
		return p.ID
	}
	return p.Name
}

func TestAgendaHoldsTogether(t *testing.T) {
	check := func(t *testing.T, d *sample.Kitchen, place record.Place, on record.Date) {
		t.Helper()
		m := schedule.Moment{Today: on}
		a := sample.AgendaOf(t, d, m)
		if a.Place != place.ID || a.Name != named(place) || a.Zone.String() != place.Zone || a.Today != on || len(a.Entries) == 0 {
			t.Errorf("%s, %q, %s, %s, %d entries", a.Place, a.Name, a.Zone, a.Today, len(a.Entries))
		}
		checkAgenda(t, a, sample.DuesOf(t, d, m))
	}
	t.Run("home", func(t *testing.T) { check(t, sample.ReadOnly(t), sample.Home().Place, today) })
	for _, setup := range []schedule.Setup{sample.Lever(), sample.Bar()} {
		t.Run(setup.Place.ID, func(t *testing.T) {
			d, _ := sample.SetUp(t, setup)
			// Soon after it was new little is overdue, two years on much is.
			check(t, d, setup.Place, bought+20)
			check(t, d, setup.Place, today)
		})
	}
}

// What comes round daily is no sitting. It stands in the calendar where the owner
// wants it to, as one entry that recurs, with what can hurt in any of it.
func TestAgendaRoutines(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Bar())
	routine := func() []agenda.AgendaEntry {
		return slices.DeleteFunc(sample.AgendaOf(t, d, at).Entries, func(e agenda.AgendaEntry) bool { return e.EveryDays == 0 })
	}
	if got := routine(); len(got) != 0 {
		t.Errorf("%d recurring entries that nobody asked for", len(got))
	}
	d.Publisher.Routine = true
	got := routine()
	if len(got) == 0 || got[0].EveryDays != 1 {
		t.Fatalf("%d recurring entries, want a daily one first", len(got))
	}
	said := ""
	for i, e := range got { // one for each round, the most frequent first
		if i > 0 && e.EveryDays <= got[i-1].EveryDays || !e.AllDay || e.Minutes <= 0 || len(e.Due.Cautions) == 0 || len(e.Due.MakeSafe) == 0 {
			t.Errorf("the routine is %+v", e)
		}
		said += e.Due.Why[0]
	}
	rounds := d.Forecast(t, at).Rounds()
	for _, due := range sample.DuesOf(t, d, at) {
		covered := slices.ContainsFunc(rounds, func(r plan.Routine) bool { return slices.Contains(r.Covered, due.Task) })
		if due.Routine && !covered && !strings.Contains(said, due.Title) {
			t.Errorf("%s is routine and not named in %q", due.Title, said)
		}
	}
}

func uids(a agenda.Agenda) map[string]string {
	byTask := map[string]string{}
	for _, e := range a.Entries {
		byTask[e.Due.Task] = e.UID
	}
	return byTask
}

// An entry keeps its UID through every replan, until its task is done; a void
// brings the old one back.
func TestUIDHoldsUntilTheService(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Lever())
	ctx := context.Background()
	const task = "lever/soak-screen/group"
	first := uids(sample.AgendaOf(t, d, at))
	if first[task] != "hut."+task+".0@limekeep" {
		t.Errorf("uid %q", first[task])
	}
	same := func(when string, want map[string]string, m schedule.Moment) {
		t.Helper()
		for name, uid := range uids(sample.AgendaOf(t, d, m)) {
			if was, ok := want[name]; ok && uid != was {
				t.Errorf("%s: %s is now called %s", when, was, uid)
			}
		}
	}
	sample.Publish(t, d, at)
	same("published", first, at)
	same("a week later", first, schedule.Moment{Today: today + 7})
	if _, err := d.Journal.AddUse(ctx, d.Day(t, at), journal.UseEntry{Machine: "", From: today - 9, To: today, Sum: record.UseRow{Shots: 60}, Note: ""}); err != nil {
		t.Fatal(err)
	}
	same("with more use", first, at)

	done, err := d.Journal.Done(ctx, d.Day(t, at), today, record.Service{Task: task})
	if err != nil {
		t.Fatal(err)
	}
	after := uids(sample.AgendaOf(t, d, at))
	for name, uid := range first {
		switch now, ok := after[name]; {
		case ok && name == task && now == uid:
			t.Errorf("%s was done and is still called %s", name, uid)
		case ok && name != task && now != uid:
			t.Errorf("%s was done, and %s is now called %s", task, uid, now)
		}
	}
	if _, err := d.Journal.Void(ctx, d.Day(t, at), done.Record, "not done after all"); err != nil {
		t.Fatal(err)
	}
	if got := uids(sample.AgendaOf(t, d, at))[task]; got != first[task] {
		t.Errorf("the service is void, and the entry is called %s, was %s", got, first[task])
	}
}

func TestPublishWritesOnceWhatDoesNotChange(t *testing.T) {
	for _, setup := range []schedule.Setup{sample.Home(), sample.Lever()} {
		t.Run(setup.Place.ID, func(t *testing.T) {
			d, records := sample.SetUp(t, setup)
			for i, want := range []bool{true, false, false} {
				if wrote := sample.Publish(t, d, at); wrote != want {
					t.Errorf("time %d: wrote %t, want %t", i+1, wrote, want)
				}
			}
			plans := records.Of(record.KindPublication)
			if len(plans) != 1 || plans[0].Effective != today {
				t.Fatalf("%d plans", len(plans))
			}
			plan := plans[0].Body.(record.Publication)
			a := sample.AgendaOf(t, d, at)
			if !plan.At.Equal(noon) || len(plan.Entries) != len(a.Entries) {
				t.Fatalf("the plan of %s has %d entries, the agenda %d", plan.At, len(plan.Entries), len(a.Entries))
			}
			for i, p := range plan.Entries {
				e := a.Entries[i]
				if p.UID != e.UID || p.Task != e.Due.Task || !p.Start.Equal(e.Start) || p.AllDay != e.AllDay || p.Content != e.Content() || p.Sequence != 0 || !p.Changed.Equal(noon) {
					t.Errorf("published %+v, now %s at %s", p, e.UID, e.Start)
				}
				if e.Sequence != 0 || !e.Changed.Equal(noon) {
					t.Errorf("%s: sequence %d, changed %s", e.UID, e.Sequence, e.Changed)
				}
			}
		})
	}
}

// The sequence counts the changes of what an entry shows, publication by
// publication; what has not changed keeps its own and its stamp.
func TestSequenceCountsChanges(t *testing.T) {
	d, records := sample.SetUp(t, sample.Lever())
	ctx := context.Background()
	clock := noon
	d.Now = func() time.Time { return clock }
	const touched, untouched = "lever/soak-screen/group", "tank/water-test"
	setup := sample.Lever()
	sample.Publish(t, d, at)
	for n := 1; n <= 3; n++ {
		before := sample.EntryOf(t, sample.AgendaOf(t, d, at), touched)
		setup.Equipment[0].Name = "Lever, name " + string(rune('0'+n))
		if _, err := d.Journal.SetUp(ctx, today, setup); err != nil {
			t.Fatal(err)
		}
		// Not yet published, it already shows as one change more.
		open := sample.EntryOf(t, sample.AgendaOf(t, d, at), touched)
		if before.Sequence != n-1 || open.Sequence != n || open.Content() == before.Content() || open.UID != before.UID {
			t.Errorf("change %d: sequence %d before, %d after", n, before.Sequence, open.Sequence)
		}
		clock = clock.Add(time.Hour)
		if !sample.Publish(t, d, at) {
			t.Fatalf("change %d was not published", n)
		}
		out := sample.EntryOf(t, sample.AgendaOf(t, d, at), touched)
		if out.Sequence != n || !out.Changed.Equal(clock) {
			t.Errorf("change %d went out: sequence %d, changed %s, want %s", n, out.Sequence, out.Changed, clock)
		}
		other := sample.EntryOf(t, sample.AgendaOf(t, d, at), untouched)
		if other.Sequence != 0 || !other.Changed.Equal(noon) {
			t.Errorf("change %d: %s did not change, sequence %d, changed %s", n, untouched, other.Sequence, other.Changed)
		}
		clock = clock.Add(time.Hour)
		if sample.Publish(t, d, at) {
			t.Errorf("change %d went out twice", n)
		}
	}
	if n := len(records.Of(record.KindPublication)); n != 4 {
		t.Errorf("%d plans, want 4", n)
	}
}

// A plan that has an entry less is another plan, and goes out.
func TestPublishWhatIsGone(t *testing.T) {
	d, records := sample.SetUp(t, sample.Lever())
	ctx := context.Background()
	sample.Publish(t, d, at)
	without := sample.Lever()
	without.Equipment = without.Equipment[1:]
	if _, err := d.Journal.SetUp(ctx, today, without); err != nil {
		t.Fatal(err)
	}
	if !sample.Publish(t, d, at) {
		t.Error("the lever left, and the plan did not change")
	}
	plans := records.Of(record.KindPublication)
	for _, e := range plans[len(plans)-1].Body.(record.Publication).Entries {
		if e.Task != "tank/water-test" {
			t.Errorf("%s is still planned", e.Task)
		}
	}
}

// What the answers hold, as text: two that are equal to the byte are equal.
func answers(t testing.TB, d *sample.Kitchen, m schedule.Moment) string {
	t.Helper()
	a := sample.AgendaOf(t, d, m)
	text, err := json.MarshalIndent([]any{sample.DuesOf(t, d, m), a.Entries}, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The same records, day and last plan give the same answers, to the byte,
// whoever asks and however often: a desk that remembers the water and one that
// has never seen it.
func TestSameRecordsSameAnswers(t *testing.T) {
	asked, _ := sample.LivedIn(t)
	fresh, _ := sample.New(t)
	if _, err := fresh.Journal.SetUp(context.Background(), today, sample.Home()); err != nil {
		t.Fatal(err)
	}
	fresh.Live(t)
	var texts []string
	for _, d := range []*sample.Kitchen{asked, fresh} {
		sample.Publish(t, d, at)
		texts = append(texts, answers(t, d, at), answers(t, d, at))
	}
	for i, text := range texts[1:] {
		if diff := cmp.Diff(texts[0], text); diff != "" {
			t.Fatalf("answer %d differs:\n%s", i+2, diff)
		}
	}
}

// A day that has passed sees what holds from then or before, whenever it was
// written down, and nothing of later.
func TestAnswersOfAPastDay(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Lever())
	ctx := context.Background()
	past := schedule.Moment{Today: today - 30}
	before := answers(t, d, past)
	if _, err := d.Journal.Done(ctx, d.Day(t, at), today-29, record.Service{Task: "soak-screen"}); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Journal.AddUse(ctx, d.Day(t, at), journal.UseEntry{Machine: "", From: today - 20, To: today, Sum: record.UseRow{Shots: 90}, Note: ""}); err != nil {
		t.Fatal(err)
	}
	sample.Publish(t, d, at)
	if diff := cmp.Diff(before, answers(t, d, past)); diff != "" {
		t.Errorf("what came later shows:\n%s", diff)
	}
	if _, err := d.Journal.Done(ctx, d.Day(t, at), today-31, record.Service{Task: "group-gasket"}); err != nil {
		t.Fatal(err)
	}
	if before == answers(t, d, past) {
		t.Error("a service of the day before, entered today, does not show")
	}
}
