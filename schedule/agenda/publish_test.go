package agenda_test

import (
	"context"
	"errors"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// hurried does something each time that a publication is about to be kept.
type hurried struct {
	*sample.Records
	between func()
	times   int
}

func (h *hurried) AppendAfter(ctx context.Context, last int64, entry record.Entry) (int64, error) {
	if h.times > 0 {
		h.times--
		h.between()
	}
	return h.Records.AppendAfter(ctx, last, entry)
}

// What is written down while a publication is made does not hold it up: it is for
// the next one.
func TestPublishIsNotHeldUp(t *testing.T) {
	ctx := context.Background()
	d, records := sample.SetUp(t, sample.Lever())
	h := &hurried{Records: records, times: 1}
	h.between = func() {
		if _, err := d.Journal.Done(ctx, d.Day(t, at), today, record.Service{Task: "soak-screen"}); err != nil {
			t.Fatal(err)
		}
	}
	d.Records = h
	first, err := d.Publisher.Publish(ctx, at)
	if err != nil || !first.Wrote || len(first.Agenda.Done) != 0 {
		t.Errorf("wrote %t with %d services, %v; want one without the service that came meanwhile", first.Wrote, len(first.Agenda.Done), err)
	}
	if now, _ := records.Version(ctx); first.Version >= now {
		t.Errorf("it tells of version %d, and the records are at %d with the service", first.Version, now)
	}
	next, err := d.Publisher.Publish(ctx, at)
	if err != nil || !next.Wrote || len(next.Agenda.Done) != 1 {
		t.Errorf("the next one: wrote %t with %d services, %v; want the one", next.Wrote, len(next.Agenda.Done), err)
	}
	if now, _ := records.Version(ctx); next.Version != now {
		t.Errorf("it tells of version %d of %d", next.Version, now)
	}
}

// A publication follows on the last one, whoever made that; where others go on
// publishing it is an error and nothing is kept.
func TestPublishFollowsOnTheLast(t *testing.T) {
	ctx := context.Background()
	for _, c := range []struct {
		times int
		wrote bool
	}{{1, true}, {4, true}, {5, false}} {
		d, records := sample.SetUp(t, sample.Lever())
		h := &hurried{Records: records, times: c.times}
		h.between = func() {
			if _, err := records.Append(ctx, record.Entry{Place: d.Day(t, at).Place.ID, Effective: today, Entered: d.Now(), Body: record.Publication{At: d.Now()}}); err != nil {
				t.Fatal(err)
			}
		}
		d.Records = h
		issue, err := d.Publisher.Publish(ctx, at)
		if issue.Wrote != c.wrote || errors.Is(err, schedule.ErrOtherPublication) == c.wrote {
			t.Errorf("disturbed %d times: wrote %t, %v", c.times, issue.Wrote, err)
		}
		want := c.times
		if c.wrote {
			want++
		}
		if n := len(records.Of(record.KindPublication)); n != want {
			t.Errorf("disturbed %d times: %d plans, want %d", c.times, n, want)
		}
	}
}

// What is written down of another place while a publication is made is no news to it:
// it tells of the newest version of its own place.
func TestPublicationBesideAnotherPlace(t *testing.T) {
	ctx := context.Background()
	d, records := sample.SetUp(t, sample.Lever())
	place := d.Day(t, at).Place.ID
	h := &hurried{Records: records, times: 1}
	h.between = func() {
		if _, err := records.Append(ctx, record.Entry{Place: "elsewhere", Effective: today, Entered: d.Now(), Body: record.Service{Task: "backflush"}}); err != nil {
			t.Fatal(err)
		}
	}
	d.Records = schedule.OfPlace(h, place)
	issue, err := d.Publisher.Publish(ctx, at)
	if err != nil || !issue.Wrote {
		t.Fatalf("wrote %t, %v", issue.Wrote, err)
	}
	if now, _ := records.VersionOf(ctx, place); issue.Version != now {
		t.Errorf("it tells of version %d; the place is at %d", issue.Version, now)
	}
}
