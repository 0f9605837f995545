package journal_test

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// change gives the home with something changed.
func change(f func(*schedule.Setup)) schedule.Setup {
	s := sample.Home()
	f(&s)
	return s
}

// says is what a setup should report.
func says(added, changed, retired []string) journal.Changed {
	some := func(ids []string) []string {
		if ids == nil {
			return []string{}
		}
		return ids
	}
	return journal.Changed{Place: "home", Added: some(added), Changed: some(changed), Retired: some(retired)}
}

// differ tells how a change is not the one wanted. Each thing that changed has a record that
// says so; the numbers of the records are those of the file.
func differ(want, got journal.Changed) string {
	if records := len(want.Added) + len(want.Changed) + len(want.Retired); len(got.Records) != records {
		return fmt.Sprintf("records %v, want %d of them", got.Records, records)
	}
	got.Records = nil
	return cmp.Diff(want, got)
}

func TestSetUpWritesWhatDiffers(t *testing.T) {
	scale := record.Equipment{ID: "second", Bought: record.NewDate(2026, 2, 1), Grinder: &record.Grinder{
		Setting: record.Home, Drive: record.HandDriven, Geometry: record.ConicalBurrs, DiameterMM: 38, Serves: []string{"bench"}}}
	tests := []struct {
		name  string
		setup schedule.Setup
		want  journal.Changed
		wrote int
	}{
		{"the same again", sample.Home(), says(nil, nil, nil), 0},
		{"in another order", change(func(s *schedule.Setup) { s.Equipment[0], s.Equipment[2] = s.Equipment[2], s.Equipment[0] }), says(nil, nil, nil), 0},
		{"another name of the place", change(func(s *schedule.Setup) { s.Place.Name = "Scullery" }), says(nil, []string{"home"}, nil), 1},
		{"another habit", change(func(s *schedule.Setup) { s.Equipment[0].Machine.Habit.WeekdayShots = 9 }), says(nil, []string{"bench"}, nil), 1},
		{"one more", change(func(s *schedule.Setup) { s.Equipment = append(s.Equipment, scale) }), says([]string{"second"}, nil, nil), 1},
		{"one less", change(func(s *schedule.Setup) { s.Equipment = append(s.Equipment[:1], s.Equipment[2]) }), says(nil, nil, []string{"grinder"}), 1},
		{"all at once", change(func(s *schedule.Setup) {
			s.Place.Zone = "Europe/Berlin"
			s.Equipment[2].Name = "Tap"
			s.Equipment[1] = scale
		}), says([]string{"second"}, []string{"home", "tap"}, []string{"grinder"}), 4},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, records := sample.SetUp(t, sample.Home())
			before := records.Count()
			for round, want := range []journal.Changed{test.want, says(nil, nil, nil)} {
				got, err := d.Journal.SetUp(context.Background(), today, test.setup)
				if err != nil {
					t.Fatal(err)
				}
				if diff := differ(want, got); diff != "" {
					t.Errorf("time %d (-want +got):\n%s", round+1, diff)
				}
				if got.Nothing() != (len(want.Added)+len(want.Changed)+len(want.Retired) == 0) {
					t.Errorf("time %d: nothing is %t", round+1, got.Nothing())
				}
				if wrote := records.Count() - before; wrote != test.wrote {
					t.Errorf("time %d: %d records in all, want %d", round+1, wrote, test.wrote)
				}
			}
			for _, e := range records.Entries[before:] {
				if want := effective(e.Body); e.Effective != want {
					t.Errorf("record %d, %v, holds from %s, want %s", e.ID, e.Body, e.Effective, want)
				}
			}
		})
	}
}

// effective is when a change of the tests above holds from: what is new from the
// day it was bought, all else from today.
func effective(body record.Body) record.Date {
	if e, ok := body.(record.Equipment); ok && e.ID == "second" {
		return e.Bought
	}
	return today
}

func TestFirstSetUp(t *testing.T) {
	d, records := sample.Empty(t)
	setup := change(func(s *schedule.Setup) { s.Equipment[1].Bought = bought - 100 })
	got, err := d.Journal.SetUp(context.Background(), today, setup)
	if err != nil {
		t.Fatal(err)
	}
	if diff := differ(says([]string{"home", "bench", "grinder", "tap"}, nil, nil), got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	// The place is there since the oldest thing in it.
	for _, e := range records.Entries {
		want := bought
		if e.Kind() == record.KindPlace || e.Body.(record.Equipment).ID == "grinder" {
			want = bought - 100
		}
		if e.Effective != want || e.Place != "home" || e.Source != "test" || !e.Entered.Equal(noon) {
			t.Errorf("record %d: of %s, place %s, source %s, entered %s", e.ID, e.Effective, e.Place, e.Source, e.Entered)
		}
	}
}

// Where no day is given, it is the one on the clock of the place.
func TestSetUpOnTheClockOfThePlace(t *testing.T) {
	for zone, want := range map[string]record.Date{"Europe/Vienna": today, "Pacific/Kiritimati": today + 1} {
		d, records := sample.SetUp(t, change(func(s *schedule.Setup) { s.Place.Zone = zone }))
		if _, err := d.Journal.SetUp(context.Background(), 0, change(func(s *schedule.Setup) { s.Place.Zone, s.Place.Name = zone, "New" })); err != nil {
			t.Fatal(err)
		}
		if got := records.Entries[records.Count()-1].Effective; got != want {
			t.Errorf("%s: %s, want %s", zone, got, want)
		}
	}
}

// Equipment that left and comes back has its history again.
func TestSetUpBringsBackWhatLeft(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	without := change(func(s *schedule.Setup) { s.Equipment = append(s.Equipment[:1], s.Equipment[2]) })
	if _, err := d.Journal.SetUp(ctx, today, without); err != nil {
		t.Fatal(err)
	}
	got, err := d.Journal.SetUp(ctx, today+0, sample.Home())
	if err != nil {
		t.Fatal(err)
	}
	if diff := differ(says([]string{"grinder"}, nil, nil), got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	book, err := records.Read(ctx, "home", today)
	if err != nil {
		t.Fatal(err)
	}
	if e, err := book.Find("grinder"); err != nil || e.Bought != bought {
		t.Errorf("it came back as %v, %v", e, err)
	}
}

// A setup as of a day that has passed is compared with what was known then:
// said twice it changes nothing, and what was said of later days still holds.
func TestSetUpOfAnEarlierDay(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	name := func(text string) schedule.Setup {
		return change(func(s *schedule.Setup) { s.Equipment[0].Name = text })
	}
	for _, step := range []struct {
		on    record.Date
		setup schedule.Setup
		want  journal.Changed
	}{
		{today, name("Now"), says(nil, []string{"bench"}, nil)},
		{today - 30, name("Before"), says(nil, []string{"bench"}, nil)},
		{today - 30, name("Before"), says(nil, nil, nil)},
		{today, name("Now"), says(nil, nil, nil)},
	} {
		got, err := d.Journal.SetUp(ctx, step.on, step.setup)
		if err != nil {
			t.Fatal(err)
		}
		if diff := differ(step.want, got); diff != "" {
			t.Errorf("on %s (-want +got):\n%s", step.on, diff)
		}
	}
	for on, want := range map[record.Date]string{today - 31: "Machine on the bench", today - 30: "Before", today - 1: "Before", today: "Now"} {
		book, err := records.Read(ctx, "home", on)
		if err != nil {
			t.Fatal(err)
		}
		if e, err := book.Find("bench"); err != nil || e.Name != want {
			t.Errorf("on %s it is called %q, %v, want %q", on, e.Name, err, want)
		}
	}
}

func TestSetUpRefuses(t *testing.T) {
	tests := []struct {
		name  string
		setup schedule.Setup
		field string
	}{
		{"no equipment", change(func(s *schedule.Setup) { s.Equipment = nil }), "equipment"},
		{"a bad place", change(func(s *schedule.Setup) { s.Place.Zone = "Mars" }), "place.zone"},
		{"a bad machine", change(func(s *schedule.Setup) { s.Equipment[0].Machine.Habit.HotHours = 30 }), "bench.habit.hot_hours"},
		{"a missing line", change(func(s *schedule.Setup) { s.Equipment = s.Equipment[:2] }), "bench.water_line"},
		{"bought tomorrow", change(func(s *schedule.Setup) { s.Equipment[1].Bought = today + 1 }), "grinder.bought"},
		{"a cartridge of tomorrow", change(func(s *schedule.Setup) { s.Equipment[2].Line.Treatment[0].Fitted = today + 1 }), "tap.treatment[0].fitted"},
		{"a grinder's id for a machine", change(func(s *schedule.Setup) {
			s.Equipment[0].ID, s.Equipment[1].ID = "grinder", "bench"
			s.Equipment[1].Grinder.Serves = []string{"grinder"}
		}), "id"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, records := sample.SetUp(t, sample.Home())
			before := records.Count()
			_, err := d.Journal.SetUp(context.Background(), today, test.setup)
			var field *record.FieldError
			if !errors.As(err, &field) || field.Field != test.field {
				t.Errorf("got %v, want an error about %s", err, test.field)
			}
			if records.Count() != before {
				t.Errorf("%d records were written all the same", records.Count()-before)
			}
		})
	}
	d, records := sample.Empty(t)
	records.Fails = errors.New("the disk is full")
	if _, err := d.Journal.SetUp(context.Background(), today, sample.Home()); !errors.Is(err, records.Fails) {
		t.Errorf("a store that fails: %v", err)
	}
}
