package agenda_test

import (
	"context"
	"slices"
	"testing"

	"limekeep/schedule/agenda"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// What went out and is neither open nor done is cancelled under its own UID, as a
// change of its content; back again it goes on counting; and a month after its day
// it goes for good.
func TestWhatWentOutIsCancelled(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Lever())
	ctx := context.Background()
	const task = "lever/soak-screen/group"
	sample.Publish(t, d, at)
	before := sample.EntryOf(t, sample.AgendaOf(t, d, at), task)
	cancelled := func(a agenda.Agenda) *agenda.CancelledEntry {
		i := slices.IndexFunc(a.Cancelled, func(e agenda.CancelledEntry) bool { return e.UID == before.UID })
		if i < 0 {
			return nil
		}
		return &a.Cancelled[i]
	}
	without := sample.Lever()
	without.Equipment = without.Equipment[1:]
	if _, err := d.Journal.SetUp(ctx, today, without); err != nil {
		t.Fatal(err)
	}
	sample.Publish(t, d, at)
	gone := cancelled(sample.AgendaOf(t, d, at))
	if gone == nil || gone.Sequence != 1 || !gone.Start.Equal(before.Start) || gone.Group {
		t.Fatalf("the lever left, and its task is %+v", gone)
	}
	if sample.Publish(t, d, at) {
		t.Error("nothing has changed, and it went out again")
	}
	if _, err := d.Journal.SetUp(ctx, today, sample.Lever()); err != nil {
		t.Fatal(err)
	}
	sample.Publish(t, d, at)
	a := sample.AgendaOf(t, d, at)
	if again := sample.EntryOf(t, a, task); again.UID != before.UID || again.Sequence != 2 || cancelled(a) != nil {
		t.Errorf("the lever is back, and its task has sequence %d, cancelled %v", again.Sequence, cancelled(a))
	}
	if _, err := d.Journal.SetUp(ctx, today, without); err != nil {
		t.Fatal(err)
	}
	sample.Publish(t, d, at)
	later := at
	later.Today = max(today, gone.Since, record.DateOf(before.Start)) + 30
	if cancelled(sample.AgendaOf(t, d, later)) == nil {
		t.Error("thirty days after its day nobody is told any more")
	}
	later.Today++
	if cancelled(sample.AgendaOf(t, d, later)) != nil {
		t.Error("it is cancelled for ever")
	}
}
