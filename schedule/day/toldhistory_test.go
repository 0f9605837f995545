package day_test

import (
	"context"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// handedOver counts the entries that history is read from.
type handedOver struct {
	schedule.Records
	entries int
}

func (h *handedOver) History(ctx context.Context, place string, after int64, take func(record.Entry) error) error {
	return h.Records.History(ctx, place, after, func(e record.Entry) error {
		h.entries++
		return take(e)
	})
}

// Asked again, history reads what was written down since and no more, and says the
// same as one that is read from the beginning; what it gave out before stays as it was.
func TestHistoryReadsWhatIsNew(t *testing.T) {
	d, records := sample.LivedIn(t)
	ctx := context.Background()
	counted := &handedOver{Records: records}
	d.Opener.Records = counted
	first, err := d.Day(t, at).History(ctx)
	if err != nil {
		t.Fatal(err)
	}
	kept := slices.Clone(first)
	done, err := d.Journal.Done(ctx, d.Day(t, at), today-400, record.Service{Task: "soak-screen"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := d.Journal.Void(ctx, d.Day(t, at), done.Record, ""); err != nil {
		t.Fatal(err)
	}
	counted.entries = 0
	again, err := d.Day(t, at).History(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if counted.entries != 2 {
		t.Errorf("%d entries were read, want the two that are new", counted.entries)
	}
	if diff := cmp.Diff(kept, first, cmpopts.IgnoreUnexported(day.HistoryLine{})); diff != "" {
		t.Errorf("what was given out before changed (-was +is):\n%s", diff)
	}
	if n := len(again) - len(first); n != 2 {
		t.Errorf("%d more lines, want 2", n)
	}
	anew, err := (&day.Opener{Records: records, Catalogue: d.Opener.Catalogue, Now: d.Opener.Now}).Open(ctx, at)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := anew.History(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(whole, again, cmpopts.IgnoreUnexported(day.HistoryLine{})); diff != "" {
		t.Errorf("read anew it says something else (-anew +kept):\n%s", diff)
	}
}
