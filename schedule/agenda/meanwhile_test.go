package agenda_test

import (
	"context"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// meanwhile are records in which something is written down just before a publication.
type meanwhile struct {
	schedule.Records
	entry record.Entry
}

func (m meanwhile) AppendAfter(ctx context.Context, last int64, e record.Entry) (int64, error) {
	if _, err := m.Append(ctx, m.entry); err != nil {
		return 0, err
	}
	return m.Records.AppendAfter(ctx, last, e)
}

// What is written down while a publication is made is of a later version than it tells of,
// so that it is looked at: of its place, or of the district whose water it has. What is
// written of others is not.
func TestWrittenWhilePublishing(t *testing.T) {
	for _, c := range []struct {
		book  string
		later bool
	}{{"home", true}, {schedule.DistrictBook("hill"), true}, {schedule.DistrictBook("valley"), false}, {"elsewhere", false}} {
		s := sample.Home()
		s.Place.ID, s.Place.District = "home", "hill"
		s.Equipment = []record.Equipment{{ID: "tools", Bought: sample.Today - 900, RecordsFrom: sample.Today - 900, Tools: &record.Tools{Setting: record.Home, Have: []record.Tool{record.Tamper}}}}
		k, records := sample.SetUp(t, s)
		k.Records = meanwhile{records, record.Entry{Place: c.book, Effective: sample.Today, Body: record.Service{Task: "tools/scale"}}}
		issue, err := k.Publisher.Publish(t.Context(), schedule.Moment{})
		if err != nil {
			t.Fatal(err)
		}
		k.Records = records
		last, err := records.VersionOf(t.Context(), "home")
		if err != nil {
			t.Fatal(err)
		}
		if !issue.Wrote || (issue.Version < last) != c.later {
			t.Errorf("with something written of %s meanwhile, version %d of %d is told (written %t), want an earlier one %t", c.book, issue.Version, last, issue.Wrote, c.later)
		}
	}
}
