package advice_test

import (
	"errors"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/record"
)

// A descaling is on the report with what it found, and its date lies later than before
// it; the day before knew nothing of it.
func TestServiceReport(t *testing.T) {
	d, records := compareDesk(t)
	const task = "machine/descale/steam"
	records.add(compareDay-2, record.Service{Task: task, Finding: record.Film, Grams: 3, Note: "scale at the element"})
	before := d.Forecast(t, schedule.Moment{Today: compareDay - 3})
	after := d.Forecast(t, schedule.Moment{Today: compareDay})
	r, err := advice.ReportOf(before, after, "machine", compareDay-2)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Done) != 1 || r.Done[0].Finding != record.Film || r.Done[0].Grams != 3 || r.Done[0].Note == "" {
		t.Errorf("done: %+v", r.Done)
	}
	for _, date := range r.Dates {
		if date.Task != task {
			continue
		}
		if !date.Done || date.Was.Likely == nil || date.Is.Likely != nil && *date.Is.Likely <= *date.Was.Likely {
			t.Errorf("it was due %v and is %v", date.Was.Likely, date.Is.Likely)
		}
		if _, err := advice.ReportOf(nil, after, "none", 0); !errors.Is(err, record.ErrUnknown) {
			t.Errorf("a machine that is not there: %v", err)
		}
		return
	}
	t.Errorf("its date is not on the report: %+v", r.Dates)
}
