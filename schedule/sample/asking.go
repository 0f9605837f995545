package sample

import (
	"context"
	"errors"
	"iter"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Sequence returns rows as a file does, and then an error where there is one.
func Sequence(rows []record.UseRow, then error) iter.Seq2[record.UseRow, error] {
	return func(yield func(record.UseRow, error) bool) {
		for _, r := range rows {
			if !yield(r, nil) {
				return
			}
		}
		if then != nil {
			yield(record.UseRow{}, then)
		}
	}
}

// SaysOf returns the reasons of a task in one text.
func SaysOf(t testing.TB, d *Kitchen, task string) string {
	t.Helper()
	due, err := d.Forecast(t, schedule.Moment{Today: Today}).DueOf(task)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(due.Why, " ")
}

// HoldsAll checks that a text says all of some things.
func HoldsAll(t testing.TB, text string, parts ...string) {
	t.Helper()
	for _, part := range parts {
		if !strings.Contains(text, part) {
			t.Errorf("it does not say %q: %s", part, text)
		}
	}
}

// lived are the records of the home with two years in them, that tests only read.
var lived *Records

// ReadOnly returns a lived-in kitchen that tests share and do not write in.
func ReadOnly(t testing.TB) *Kitchen {
	t.Helper()
	if lived == nil {
		_, lived = LivedIn(t)
	}
	d, _ := Empty(t)
	d.Records = lived
	return d
}

// DuesOf returns what is due in a kitchen at a moment.
func DuesOf(t testing.TB, d *Kitchen, m schedule.Moment) []day.Due {
	t.Helper()
	dues := d.Forecast(t, m).Due()
	return dues
}

// DueOf returns a task's due; the test ends where there is none.
func DueOf(t testing.TB, dues []day.Due, task string) day.Due {
	t.Helper()
	i := slices.IndexFunc(dues, func(d day.Due) bool { return d.Task == task })
	if i < 0 {
		t.Fatalf("%s is not among what is due", task)
	}
	return dues[i]
}

// Bar is a place whose groups are flushed back every day.
func Bar() schedule.Setup {
	s := Lever()
	s.Place.ID, s.Place.Zone = "bar", "America/New_York"
	s.Equipment[0].Machine.Setting = record.Bar
	s.Equipment[0].Machine.Groups = []record.Group{{ID: "left", ThreeWayValve: true}, {ID: "right", ThreeWayValve: true}}
	s.Equipment[0].Machine.Habit = record.Habit{WeekdayShots: 150, WeekendShots: 200, SteamedShare: new(0.)}
	return s
}

// AgendaOf returns what goes out of a kitchen at a moment.
func AgendaOf(t testing.TB, d *Kitchen, m schedule.Moment) agenda.Agenda {
	t.Helper()
	issue, err := d.Publisher.Preview(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	return issue.Agenda
}

// EntryOf returns a task's entry; the test ends where there is none.
func EntryOf(t testing.TB, a agenda.Agenda, task string) agenda.AgendaEntry {
	t.Helper()
	i := slices.IndexFunc(a.Entries, func(e agenda.AgendaEntry) bool { return e.Due.Task == task })
	if i < 0 {
		t.Fatalf("%s is not in the agenda of %s", task, a.Today)
	}
	return a.Entries[i]
}

// Publish makes and publishes the plan, and reports whether anything was written.
func Publish(t testing.TB, d *Kitchen, m schedule.Moment) bool {
	t.Helper()
	issue, err := d.Publisher.Publish(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	return issue.Wrote
}

// Refused checks that an error is about a field, and that nothing was written.
func Refused(t *testing.T, err error, field string, records *Records, before int) {
	t.Helper()
	var got *record.FieldError
	if !errors.As(err, &got) || got.Field != field {
		t.Errorf("got %v, want an error about %s", err, field)
	}
	if records.Count() != before {
		t.Errorf("%d records were written all the same", records.Count()-before)
	}
}
