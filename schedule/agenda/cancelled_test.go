package agenda_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

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

// However often entries go out and are cancelled, a calendar shows no more than a bounded
// number of them, the last ones.
func TestCancelledEntriesAreBounded(t *testing.T) {
	d, records := sample.SetUp(t, sample.Lever())
	sample.Publish(t, d, at)
	opened := d.Day(t, at)
	last, ok := opened.Book.LastPublication()
	if !ok {
		t.Fatal("nothing went out")
	}
	const earlier = 150
	written := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	for i := range earlier { // the newest first, as a publication has them
		start := (opened.Today + 10).In(opened.Zone)
		last.Cancelled = append(last.Cancelled, record.PublishedCancelled{
			UID: fmt.Sprintf("home.gone/%03d@limekeep", i), Start: start, Since: opened.Today, Content: "earlier", Sequence: 1, Changed: written,
		})
	}
	if _, err := records.Append(t.Context(), record.Entry{Place: opened.Place.ID, Effective: opened.Today, Entered: written, Source: "test", Body: last}); err != nil {
		t.Fatal(err)
	}
	shown := sample.AgendaOf(t, d, at).Cancelled
	if len(shown) == 0 || len(shown) >= earlier {
		t.Fatalf("of %d cancelled entries %d are shown", earlier, len(shown))
	}
	for i, e := range shown {
		if want := fmt.Sprintf("home.gone/%03d@limekeep", i); e.UID != want {
			t.Fatalf("entry %d is %s, want %s: the last ones stay", i, e.UID, want)
		}
	}
}
