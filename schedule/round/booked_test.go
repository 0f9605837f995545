package round_test

import (
	"context"
	"slices"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
	"limekeep/schedule/sample"
)

// cafes returns the outlooks of some places that are set up alike, and how to get them anew.
func cafes(t *testing.T, ids ...string) (*sample.Kitchen, func() []day.Outlook) {
	t.Helper()
	desk, _ := sample.New(t)
	desk.Worlds, desk.PlanEffort, desk.PlanMonths = 20, 20_000, 6
	for _, id := range ids {
		setup := schedule.FillIn(schedule.Setup{
			Place:     record.Place{ID: id, Name: "Café " + id, Zone: "Europe/Vienna"},
			Equipment: []record.Equipment{{ID: "machine", Bought: record.NewDate(2024, 3, 1), Machine: &record.Machine{Layout: record.TwoBoilers, Habit: record.Habit{WeekdayShots: 40}}}},
		})
		if _, err := desk.Journal.SetUp(t.Context(), 0, setup); err != nil {
			t.Fatal(err)
		}
	}
	return desk, func() []day.Outlook {
		var all []day.Outlook
		for _, id := range ids {
			all = append(all, desk.Forecast(t, schedule.Moment{Place: id}).Outlook())
		}
		return all
	}
}

// holds reports whether all of some tasks are among others.
func holds(all, some []string) bool {
	return !slices.ContainsFunc(some, func(id string) bool { return !slices.Contains(all, id) })
}

// A visit that was booked stays on its day and at its time when the round is planned anew,
// whatever is cheaper; other places are laid around it, and none of its tasks is proposed
// a second time.
func TestRoundKeepsWhatIsBooked(t *testing.T) {
	ctx := context.Background()
	desk, outlooks := cafes(t, "blue", "red")
	s := round.Settings{Who: "Anna"}
	today := outlooks()[0].Today
	first := today + 1
	before, err := s.Plan(ctx, outlooks(), first, 1, round.Van{})
	if err != nil {
		t.Fatal(err)
	}
	var proposed round.VisitInfo
	for _, d := range before.Days {
		for _, v := range d.Visits {
			if v.Place == "blue" {
				proposed = v
			}
		}
	}
	if len(proposed.Jobs) == 0 {
		t.Fatal("the round goes to no place that could be booked")
	}
	on := first
	for on.Weekday() != 6 { // a Saturday: Anna works Monday to Friday
		on++
	}
	book := record.BookedVisit{On: on, At: "10:40", Minutes: 95, By: "anna"}
	for _, j := range proposed.Jobs {
		book.Tasks = append(book.Tasks, record.BookedTask{Task: j.Task})
	}
	f := desk.Forecast(t, schedule.Moment{Place: "blue"})
	written, err := desk.Journal.BookVisit(ctx, f.Day, f, book)
	if err != nil {
		t.Fatal(err)
	}
	after, err := s.Plan(ctx, outlooks(), first, 1, round.Van{})
	if err != nil {
		t.Fatal(err)
	}
	visits := map[string][]round.VisitInfo{}
	for _, d := range after.Days {
		for _, v := range d.Visits {
			visits[v.Place] = append(visits[v.Place], v)
			if d.On == on && v.Place != "blue" {
				t.Errorf("another visit, at %s, on a day off", v.Place)
			}
		}
	}
	if len(visits["blue"]) != 1 || len(visits["red"]) != 1 {
		t.Fatalf("visits %+v, left %+v", visits, after.Left)
	}
	v := visits["blue"][0]
	if v.On != on || v.Arrive != "10:40" || v.Leave != "12:15" || v.Booked != written.Record || !holds(v.Tasks(), proposed.Tasks()) {
		t.Errorf("booked as %+v, the round has %+v", book, v)
	}
	// To somebody else those tasks are taken.
	other := round.Settings{Who: "Ben"}
	theirs, err := other.Plan(ctx, outlooks(), first, 1, round.Van{})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range theirs.Days {
		for _, w := range d.Visits {
			if w.Place == "blue" && (w.Booked != 0 || slices.ContainsFunc(w.Tasks(), func(id string) bool { return slices.Contains(proposed.Tasks(), id) })) {
				t.Errorf("what Anna comes for is in the round of another: %+v", w)
			}
		}
	}
	// Two visits at one time at two places cannot both be kept, and that is said.
	red := desk.Forecast(t, schedule.Moment{Place: "red"})
	book.At, book.By = "11:00", "Anna"
	if _, err := desk.Journal.BookVisit(ctx, red.Day, red, book); err != nil {
		t.Fatal(err)
	}
	clash, err := s.Plan(ctx, outlooks(), first, 1, round.Van{})
	if err != nil {
		t.Fatal(err)
	}
	if len(clash.Left) != 1 || clash.Left[0].Booked == 0 {
		t.Errorf("of two visits at one time left is %+v", clash.Left)
	}
}
