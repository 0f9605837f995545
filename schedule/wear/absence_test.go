package wear

import (
	"context"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

func TestAwaited(t *testing.T) {
	day := func(d int) record.Date { return today + record.Date(d) }
	fortnight := Absence{From: day(10), To: day(23)}
	weekend := Absence{From: day(3), To: day(4)}
	winter := Absence{From: day(30), To: day(120), Frost: true}
	open := Absence{From: day(5)}
	past := Absence{From: day(-20), To: day(-4)}
	long := Absence{From: day(-200), To: day(-90)}
	done := func(d int) []record.Dated[record.Service] { return []record.Dated[record.Service]{{ID: 1, On: day(d)}} }
	tests := []struct {
		name     string
		driver   care.Driver
		least    float64
		absences []Absence
		services []record.Dated[record.Service]
		want     record.Date // 0 for nothing to wait for
	}{
		{"before a fortnight", care.BeforeAbsence, 2, []Absence{fortnight}, nil, day(9)},
		{"the first of two", care.BeforeAbsence, 2, []Absence{fortnight, weekend}, nil, day(2)},
		{"too short", care.BeforeAbsence, 5, []Absence{weekend}, nil, 0},
		{"until further notice", care.BeforeAbsence, 2, []Absence{open}, nil, day(4)},
		{"over", care.BeforeAbsence, 2, []Absence{past}, nil, 0},
		{"done the day before", care.BeforeAbsence, 2, []Absence{fortnight}, done(9), 0},
		{"done for an earlier one", care.BeforeAbsence, 2, []Absence{fortnight}, done(-10), day(9)},
		{"no frost", care.BeforeFrost, 1, []Absence{fortnight}, nil, 0},
		{"frost", care.BeforeFrost, 1, []Absence{fortnight, winter}, nil, day(29)},
		{"after a fortnight to come", care.AfterAbsence, 7, []Absence{fortnight}, nil, day(24)},
		{"after a weekend, mains", care.AfterAbsence, 7, []Absence{weekend}, nil, 0},
		{"just a week is not more than a week", care.AfterAbsence, 7, []Absence{{From: day(1), To: day(7)}}, nil, 0},
		{"after one that is over", care.AfterAbsence, 7, []Absence{past}, nil, day(-3)},
		{"after one long over", care.AfterAbsence, 7, []Absence{long}, nil, 0},
		{"started again", care.AfterAbsence, 7, []Absence{past}, done(-2), 0},
		{"shut down is not started again", care.AfterAbsence, 7, []Absence{past}, done(-5), day(-3)},
		{"nobody knows when", care.AfterAbsence, 7, []Absence{open}, nil, 0},
		{"wear", care.ByDays, 1, []Absence{fortnight}, nil, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, ok := Awaited(test.driver, test.least, test.absences, test.services, today)
			if got.Due != test.want || ok != (test.want != 0) {
				t.Errorf("due %s (%t), want %s", got.Due, ok, test.want)
			}
		})
	}
}

// The tasks of a time away fall due on their days, in every world alike.
func TestAbsenceInTheForecast(t *testing.T) {
	k := newKitchen(t)
	k.worlds = 20 // all alike
	h := k.household()
	h.Absences = map[string][]Absence{"machine": {{From: today + 10, To: today + 40, Frost: true}}}
	outcomes, err := Forecast(context.Background(), h)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]record.Date{"machine/before-absence": today + 9, "machine/frost-storage": today + 9, "machine/restart": today + 41}
	for _, o := range outcomes {
		due, ok := want[o.Duty.ID]
		if !ok {
			continue
		}
		delete(want, o.Duty.ID)
		if o.Window != (Window{due, due, due}) || o.Absence == nil || o.Gauges[0].Reading.Likely != 0 {
			t.Errorf("%s: window %v, want %s", o.Duty.ID, o.Window, due)
		}
	}
	if len(want) > 0 {
		t.Errorf("no %v", want)
	}
}
