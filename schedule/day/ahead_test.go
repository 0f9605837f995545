package day_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// What was written down while the clock was ahead is shown, marked, and counts for
// nothing until its day.
func TestRecordsDatedAheadAreShown(t *testing.T) {
	desk, records := sample.LivedIn(t)
	d := desk.Day(t, schedule.Moment{})
	ids, err := records.Append(t.Context(), record.Entry{Place: d.Place.ID, Effective: d.Today + 10, Entered: desk.Now(), Source: "page", Body: record.Service{Task: d.Duties[0].ID}})
	if err != nil {
		t.Fatal(err)
	}
	d = desk.Day(t, schedule.Moment{})
	lines, err := d.History(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	last := lines[len(lines)-1]
	if last.Record != ids[0] || !last.Ahead || !strings.Contains(last.Says, "dated ahead") || !last.MayBeVoided() {
		t.Errorf("history ends with %+v", last)
	}
	if line, err := d.HistoryLine(t.Context(), ids[0]); err != nil || line == nil || !line.Ahead {
		t.Errorf("the record by its number: %+v, %v", line, err)
	}
	for _, s := range d.Book.Services(d.Duties[0].ID) {
		if s.ID == ids[0] {
			t.Error("it counts already")
		}
	}
	// A day that is named knows of no later ones.
	named := desk.Day(t, schedule.Moment{Today: d.Today - 1})
	if line, err := named.HistoryLine(t.Context(), ids[0]); err != nil || line != nil {
		t.Errorf("asked about a day: %+v, %v", line, err)
	}
}

func TestClockBeforeSetUp(t *testing.T) {
	desk, _ := sample.LivedIn(t)
	now := desk.Opener.Now
	desk.Opener.Now = func() time.Time { return now().AddDate(-30, 0, 0) }
	_, err := desk.Open(t.Context(), schedule.Moment{})
	var early *day.BeforeSetUpError
	if !errors.As(err, &early) || early.Today.IsZero() {
		t.Errorf("%v", err)
	}
}
