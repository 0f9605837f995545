package agenda_test

import (
	"context"
	"errors"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// hurried writes something down each time that a publication is about to be.
type hurried struct {
	*sample.Records
	between func()
	times   int
}

func (h *hurried) AppendAt(ctx context.Context, version int64, entry record.Entry) (int64, error) {
	if h.times > 0 {
		h.times--
		h.between()
	}
	return h.Records.AppendAt(ctx, version, entry)
}

// A publication follows on all that is written down, what came while it was made
// among it; where that goes on and on it is an error and nothing is published.
func TestPublishFollowsOnWhatIsThere(t *testing.T) {
	for _, c := range []struct {
		times int
		wrote bool
	}{{0, true}, {1, true}, {4, true}, {5, false}} {
		d, records := sample.SetUp(t, sample.Lever())
		h := &hurried{Records: records, times: c.times}
		h.between = func() {
			if _, err := d.Journal.Done(context.Background(), d.Day(t, at), today-record.Date(h.times), record.Service{Task: "soak-screen"}); err != nil {
				t.Fatal(err)
			}
		}
		d.Records = h
		a, wrote, err := d.Publisher.Publish(context.Background(), at)
		if wrote != c.wrote || errors.Is(err, schedule.ErrOtherVersion) == c.wrote {
			t.Errorf("disturbed %d times: wrote %t, %v", c.times, wrote, err)
		}
		plans := records.Of(record.KindPublication)
		if (len(plans) == 1) != c.wrote {
			t.Errorf("disturbed %d times: %d plans", c.times, len(plans))
		}
		if c.wrote && len(a.Done) != c.times {
			t.Errorf("disturbed %d times: what went out tells of %d services", c.times, len(a.Done))
		}
	}
}
