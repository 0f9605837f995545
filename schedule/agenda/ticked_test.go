package agenda_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"limekeep/schedule/agenda"
	"limekeep/schedule/journal"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// Ticked off one after another, the tasks of a sitting leave it at once and stand on
// the day of work done; with the last of them the sitting's own entry is that day's,
// as it is in the plan that follows.
func TestTickedLeavesTheSitting(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	clock := noon
	d.Now = func() time.Time { return clock }
	sample.Publish(t, d, at)
	a := sample.AgendaOf(t, d, at)
	if len(a.Sittings) == 0 || len(a.DoneDays) != 0 {
		t.Fatalf("%d sittings, %d days of work done", len(a.Sittings), len(a.DoneDays))
	}
	before := a.Sittings[0]
	left := len(before.Tasks)
	for _, task := range before.Tasks {
		if a.Entries[slices.IndexFunc(a.Entries, func(e agenda.AgendaEntry) bool { return e.UID == task.UID })].Values != "" {
			continue // a tick says nothing of values
		}
		clock = clock.Add(time.Minute)
		ticked, err := d.Journal.Tick(ctx, d.Day(t, at), journal.Tick{Entry: task.UID})
		if err != nil || ticked.Done == nil {
			t.Fatalf("%s: %v, %s", task.Task, err, ticked.Why)
		}
		a = a.WithDone(*ticked.Done)
		left--
		if slices.ContainsFunc(a.Entries, func(e agenda.AgendaEntry) bool { return e.UID == task.UID }) {
			t.Errorf("%s is done and still open", task.Task)
		}
		i := slices.IndexFunc(a.Sittings, func(e agenda.SittingEntry) bool { return e.UID == before.UID })
		if (i >= 0) != (left > 0) {
			t.Fatalf("with %d tasks left the sitting is there: %t", left, i >= 0)
		}
		if i >= 0 {
			s := a.Sittings[i]
			if len(s.Tasks) != left || len(s.Sitting.Turns) != left || s.Sequence != before.Sequence+len(before.Tasks)-left || !s.Changed.Equal(clock) {
				t.Errorf("with %d left it has %d tasks, sequence %d, changed %s", left, len(s.Tasks), s.Sequence, s.Changed)
			}
			for _, step := range s.Sitting.Steps {
				if step.Task == task.Task {
					t.Errorf("its timetable still has %s", task.Task)
				}
			}
		}
		if len(a.DoneDays) != 1 || !slices.ContainsFunc(a.DoneDays[0].Done, func(e agenda.DoneEntry) bool { return e.Task == task.Task }) {
			t.Errorf("%s does not stand on its day: %+v", task.Task, a.DoneDays)
		}
		if again := a.WithDone(*ticked.Done); len(again.Done) != len(a.Done) || again.DoneDays[0].Sequence != a.DoneDays[0].Sequence {
			t.Errorf("%s was done twice", task.Task)
		}
	}
	if left != len(before.Tasks)-len(a.DoneDays[0].Done) {
		t.Errorf("%d of %d left, %d done", left, len(before.Tasks), len(a.DoneDays[0].Done))
	}
	next := sample.AgendaOf(t, d, at)
	if len(next.DoneDays) != 1 || len(next.DoneDays[0].Done) != len(a.DoneDays[0].Done) || left == 0 && next.DoneDays[0].UID != before.UID {
		t.Errorf("the plan that follows has %+v", next.DoneDays)
	}
}

// A task of the routine has an entry of its own in task apps: it comes back on the
// day of its round nearest to a round later, never the day after it was done a day
// early, and is no entry of the calendar.
func TestRoutineTasksComeRound(t *testing.T) {
	for _, c := range []struct {
		every            int
		from, last, want record.Date
	}{
		{1, today, today - 1, today},
		{1, today, today, today + 1},
		{7, today + 1, today, today + 8},     // a day early
		{7, today + 1, today - 2, today + 8}, // three days early: four to come is too soon
		{7, today + 1, today - 3, today + 1}, // three days late
		{7, today + 1, today - 6, today + 1},
		{7, today + 1, today - 20, today - 13}, // long past: it stays on its day
		{3, today + 2, today, today + 2},
		{3, today + 2, today + 1, today + 5},
	} {
		round := plan.Routine{EveryDays: c.every, From: c.from}
		if got := agenda.RoundDay(round, &c.last); got != c.want {
			t.Errorf("every %d days from %s, done on %s: again on %s, want %s", c.every, c.from, c.last, got, c.want)
		}
	}
	d, _ := sample.SetUp(t, sample.Home())
	a := sample.AgendaOf(t, d, at)
	if len(a.RoutineOpen) == 0 {
		t.Fatal("no routine")
	}
	for _, e := range a.RoutineOpen {
		if slices.ContainsFunc(a.Entries, func(o agenda.AgendaEntry) bool { return o.UID == e.UID }) {
			t.Errorf("%s is in the calendar", e.UID)
		}
	}
	if got := len(a.ForTaskApps().Entries); got != len(a.Entries)+len(a.RoutineOpen) {
		t.Errorf("task apps have %d entries", got)
	}
}
