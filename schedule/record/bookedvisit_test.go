package record_test

import (
	"errors"
	"testing"
	"time"

	"limekeep/schedule/record"
)

// A visit says when, for how long and for what; all that is wrong with it is told.
func TestBookedVisitIsChecked(t *testing.T) {
	good := record.BookedVisit{On: record.NewDate(2026, 3, 29), At: "09:30", Minutes: 45, Tasks: []record.BookedTask{{Task: "m/a"}}}
	if err := good.Validate(); err != nil {
		t.Fatal(err)
	}
	for field, change := range map[string]func(*record.BookedVisit){
		"date":    func(v *record.BookedVisit) { v.On = 0 },
		"at":      func(v *record.BookedVisit) { v.At = "24:00" },
		"minutes": func(v *record.BookedVisit) { v.Minutes = 0 },
		"tasks":   func(v *record.BookedVisit) { v.Tasks = nil },
		"by":      func(v *record.BookedVisit) { v.By = "A\nB" },
		"tasks[1].task": func(v *record.BookedVisit) {
			v.Tasks = []record.BookedTask{{Task: "m/a"}, {Task: "m/a", Served: 3}}
		},
	} {
		bad := good
		change(&bad)
		var wrong *record.FieldError
		if err := bad.Validate(); !errors.As(err, &wrong) || wrong.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	for _, at := range []string{"", "9:30", "09:60", "09:30:00", " 9:30", "noon"} {
		bad := good
		bad.At = at
		if bad.Validate() == nil {
			t.Errorf("%q is taken for a time", at)
		}
	}
	// On the night that the clocks go forward 02:30 is left out: it is an hour later (Vienna, EU rule).
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Fatal(err)
	}
	good.At = "02:30"
	if got := good.Begins(vienna).Format("15:04 MST"); got != "03:30 CEST" {
		t.Errorf("it begins at %s", got)
	}
}

// A report is signed by somebody, for something.
func TestServiceReportIsChecked(t *testing.T) {
	at := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	good := record.ServiceReport{Sitting: "x", From: at, To: at, By: "Anna", SignedBy: "K. Berg", SignedAt: at, Done: []record.ReportedWork{{Record: 1, Task: "m/a"}}}
	if err := good.Validate(); err != nil {
		t.Fatal(err)
	}
	for field, change := range map[string]func(*record.ServiceReport){
		"sitting":   func(r *record.ServiceReport) { r.Sitting = "" },
		"to":        func(r *record.ServiceReport) { r.To = at.Add(-time.Second) },
		"done":      func(r *record.ServiceReport) { r.Done = nil },
		"signed-by": func(r *record.ServiceReport) { r.SignedBy = "  " },
		"signed-at": func(r *record.ServiceReport) { r.SignedAt = time.Time{} },
	} {
		bad := good
		change(&bad)
		var wrong *record.FieldError
		if err := bad.Validate(); !errors.As(err, &wrong) || wrong.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}
