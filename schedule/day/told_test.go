package day_test

import (
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// People read titles and dates in words; programs and commands have ids. What somebody
// typed stands apart.
func TestTold(t *testing.T) {
	desk, records := sample.LivedIn(t)
	d := desk.Day(t, schedule.Moment{})
	duty := d.Duties[0]
	on := d.Today + 3
	bodies := []record.Body{
		record.Service{Task: duty.ID, Finding: "film", Note: "2.5 mm on 2026-01-03"},
		record.Pin{Task: duty.ID, On: on},
		record.Service{Task: "gone/long-ago"},
	}
	want := []day.Told{
		{Says: duty.Title + ", found film", Note: "2.5 mm on 2026-01-03"},
		{Says: duty.Title + " on " + on.Long()},
		{Says: "gone/long-ago"},
	}
	for i, body := range bodies {
		ids, err := records.Append(t.Context(), record.Entry{Place: d.Place.ID, Effective: d.Today, Entered: desk.Now(), Source: "page", Body: body})
		if err != nil {
			t.Fatal(err)
		}
		line, err := desk.Day(t, schedule.Moment{}).HistoryLine(t.Context(), ids[0])
		if err != nil || line == nil {
			t.Fatal(line, err)
		}
		if got := line.Told(); got != want[i] {
			t.Errorf("%s is told as %+v, want %+v", line.Says, got, want[i])
		}
	}
}
