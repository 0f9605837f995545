package agenda

import (
	"testing"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// An entry keeps its text while its window is much the same.
func TestSameWindow(t *testing.T) {
	today := record.NewDate(2026, time.March, 2)
	at := func(days record.Date) *record.Date { day := today + days; return &day }
	was := record.PublishedSitting{Says: "It falls due.", Early: today + 60, Likely: today + 100, Late: today + 180}
	for _, c := range []struct {
		name string
		due  day.Due
		same bool
	}{
		{"not at all moved", day.Due{Early: at(60), Likely: at(100), Late: at(180)}, true},
		{"by less than a tenth of its width", day.Due{Early: at(66), Likely: at(110), Late: at(185)}, true},
		{"one end by more", day.Due{Early: at(60), Likely: at(100), Late: at(195)}, false},
		{"the middle by more", day.Due{Early: at(60), Likely: at(120), Late: at(180)}, false},
		{"late beyond the horizon now", day.Due{Early: at(60), Likely: at(100)}, false},
	} {
		if got := sameWindow(c.due, was, today); got != c.same {
			t.Errorf("%s: %v, want %v", c.name, got, c.same)
		}
	}
	if sameWindow(day.Due{}, record.PublishedSitting{}, today) {
		t.Error("an entry that never said anything says the same")
	}
}

// The routine is one entry that recurs, starts where it was first published and
// puts every caution of its tasks first.
func TestRoutineIsOneEntry(t *testing.T) {
	today := record.NewDate(2026, time.March, 2)
	a := Agenda{Place: "bar", Name: "Bar", Zone: time.UTC, Today: today}
	dues := map[string]day.Due{
		"m/a": {Task: "m/a", Name: "Machine", Title: "Backflush", Minutes: 5, Cautions: []string{"Hot.", "Steam."}},
		"m/b": {Task: "m/b", Name: "Machine", Title: "Detergent", Minutes: 15, Cautions: []string{"Hot.", "Lye."}},
	}
	round := plan.Routine{EveryDays: 1, From: today, Tasks: []string{"m/a", "m/b"}}
	a.addRoutine(round, dues, map[string]record.PublishedSitting{"bar.routine@limekeep": {Start: (today - 40).In(time.UTC)}})
	if len(a.Entries) != 1 {
		t.Fatalf("%d entries, want one", len(a.Entries))
	}
	e := a.Entries[0]
	if e.Next != today-40 { // nothing was done since
		t.Errorf("next is %s", e.Next)
	}
	if e.EveryDays != 1 || record.DateOf(e.Start) != today-40 || e.Minutes != 20 || len(e.Due.Cautions) != 3 {
		t.Errorf("%+v", e)
	}
}

// A weekly round is an entry of its own, open on the first of its days on which
// not all of it was done.
func TestWeeklyRoundIsItsOwnEntry(t *testing.T) {
	today := record.NewDate(2026, time.March, 2)
	for _, c := range []struct{ served, next record.Date }{{0, today - 13}, {today - 13, today - 6}, {today - 7, today - 6}, {today - 6, today + 1}, {today, today + 1}} {
		a := Agenda{Place: "p", Zone: time.UTC, Today: today}
		due := day.Due{Task: "m/a", Minutes: 5}
		if c.served != 0 {
			due.LastService = &c.served
		}
		round := plan.Routine{EveryDays: 7, From: today + 1, Tasks: []string{"m/a"}}
		a.addRoutine(round, map[string]day.Due{"m/a": due}, map[string]record.PublishedSitting{"p.routine.7@limekeep": {Start: (today - 13).In(time.UTC)}})
		if e := a.Entries[0]; e.UID != "p.routine.7@limekeep" || e.EveryDays != 7 || e.Next != c.next {
			t.Errorf("last done on %s: %s every %d days, next on %s, want %s", c.served, e.UID, e.EveryDays, e.Next, c.next)
		}
	}
}

// Only the turn that a UID stands for has an entry; later turns keep their time.
func TestOnlyTheNextTurnHasAnEntry(t *testing.T) {
	today := record.NewDate(2026, time.March, 2)
	start := (today + 5).In(time.UTC).Add(10 * time.Hour)
	early, late := today, today+20
	dues := map[string]day.Due{}
	for _, task := range []string{"a", "b"} {
		dues[task] = day.Due{Task: task, Minutes: 30, Early: &early, Likely: &late, Late: &late}
	}
	a := Agenda{Place: "p", Zone: time.UTC, Today: today}
	a.addSitting(plan.Sitting{
		Slot: plan.Slot{Start: start}, Turns: []plan.Turn{{Task: "a", Number: 2, Minutes: 30}, {Task: "b", Number: 1, Minutes: 30}},
		Timetable: plan.Timetable{{Minutes: 30, What: plan.Working, Task: "a"}, {From: 30, Minutes: 30, What: plan.Working, Task: "b"}},
	}, dues, nil)
	if len(a.Entries) != 1 || a.Entries[0].Due.Task != "b" || !a.Entries[0].Start.Equal(start.Add(30*time.Minute)) {
		t.Errorf("%+v", a.Entries)
	}
}
