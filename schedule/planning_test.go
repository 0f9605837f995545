package schedule

import (
	"testing"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// The order of the catalogue's tasks within a sitting, as the trade does them:
// detergent before the new gasket, descaling before the new cartridge, what
// needs the machine hot before what waits until it is cold. Common practice.
func TestOrderOfTheCatalogue(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	order := map[string]int{}
	for i := range catalogue.Tasks {
		order[catalogue.Tasks[i].ID] = orderOf(&catalogue.Tasks[i])
	}
	for _, c := range [][2]string{
		{"backflush-detergent", "group-gasket"}, {"soak-screen", "group-gasket"}, {"descale", "cartridge"},
		{"backflush-water", "descale"}, {"steam-refresh", "descale"}, {"backflush-detergent", "burr-cleaning"},
		{"burr-cleaning", "descale"}, {"water-test", "cartridge"},
	} {
		first, ok := order[c[0]]
		second, also := order[c[1]]
		if !ok || !also || first >= second {
			t.Errorf("%s stands at %d, %s at %d (known: %v, %v)", c[0], first, c[1], second, ok, also)
		}
	}
}

// An entry keeps its text while its window is much the same.
func TestSameWindow(t *testing.T) {
	today := record.NewDate(2026, time.March, 2)
	at := func(days record.Date) *record.Date { day := today + days; return &day }
	was := record.PublishedSitting{Says: "It falls due.", Early: today + 60, Likely: today + 100, Late: today + 180}
	for _, c := range []struct {
		name string
		due  Due
		same bool
	}{
		{"not at all moved", Due{Early: at(60), Likely: at(100), Late: at(180)}, true},
		{"by less than a tenth of its width", Due{Early: at(66), Likely: at(110), Late: at(185)}, true},
		{"one end by more", Due{Early: at(60), Likely: at(100), Late: at(195)}, false},
		{"the middle by more", Due{Early: at(60), Likely: at(120), Late: at(180)}, false},
		{"late beyond the horizon now", Due{Early: at(60), Likely: at(100)}, false},
	} {
		if got := sameWindow(c.due, was, today); got != c.same {
			t.Errorf("%s: %v, want %v", c.name, got, c.same)
		}
	}
	if sameWindow(Due{}, record.PublishedSitting{}, today) {
		t.Error("an entry that never said anything says the same")
	}
}

// Stock goes down with services after the count, up with deliveries, and not
// with services that were written down before it.
func TestStockGoesDownWithServices(t *testing.T) {
	day := record.NewDate(2026, time.March, 2)
	count := 5.0
	book := record.NewBook(day+30, []record.Entry{
		{ID: 1, Effective: day, Body: record.Service{Task: "m/soak"}},
		{ID: 2, Effective: day, Body: record.Stock{Item: "detergent", Count: &count}},
		{ID: 3, Effective: day, Body: record.Service{Task: "m/backflush"}},
		{ID: 4, Effective: day + 3, Body: record.Service{Task: "m/soak"}},
		{ID: 5, Effective: day + 3, Body: record.Service{Task: "m/descale"}},
		{ID: 6, Effective: day + 4, Body: record.Stock{Item: "detergent", Came: 2}},
		{ID: 7, Effective: day + 5, Body: record.Service{Task: "m/soak"}, Voided: 8},
	}, nil)
	item := StockInfo{Item: "detergent", Tasks: []string{"m/soak", "m/backflush"}, LeadDays: usualLeadDays}
	item.tally(book)
	if !item.Counted || item.Count != 5 || item.LeadDays != usualLeadDays || item.record != 6 {
		t.Errorf("%+v, want 5 left: 5 counted, 2 used, 2 came", item)
	}
	brush := StockInfo{Item: "brush", Tasks: []string{"m/soak"}}
	brush.tally(book)
	if brush.Counted {
		t.Error("a brush that nobody counted is counted")
	}
}

// The routine is one entry that recurs, starts where it was first published and
// puts every caution of its tasks first.
func TestRoutineIsOneEntry(t *testing.T) {
	today := record.NewDate(2026, time.March, 2)
	a := Agenda{Place: "bar", Name: "Bar", Zone: time.UTC, Today: today}
	routine := []Due{
		{Task: "m/a", Name: "Machine", Title: "Backflush", Minutes: 5, Cautions: []string{"Hot.", "Steam."}},
		{Task: "m/b", Name: "Machine", Title: "Detergent", Minutes: 15, Cautions: []string{"Hot.", "Lye."}},
	}
	a.addRoutine(routine, map[string]record.PublishedSitting{"bar.routine@limekeep": {Start: (today - 40).In(time.UTC)}})
	if len(a.Entries) != 1 {
		t.Fatalf("%d entries, want one", len(a.Entries))
	}
	e := a.Entries[0]
	if e.EveryDays != 1 || record.DateOf(e.Start) != today-40 || e.Minutes != 20 || len(e.Due.Cautions) != 3 {
		t.Errorf("%+v", e)
	}
}

// Only the turn that a UID stands for has an entry; later turns keep their time.
func TestOnlyTheNextTurnHasAnEntry(t *testing.T) {
	today := record.NewDate(2026, time.March, 2)
	start := (today + 5).In(time.UTC).Add(10 * time.Hour)
	early, late := today, today+20
	dues := map[string]Due{}
	for _, task := range []string{"a", "b"} {
		dues[task] = Due{Task: task, Minutes: 30, Early: &early, Likely: &late, Late: &late}
	}
	a := Agenda{Place: "p", Zone: time.UTC, Today: today}
	a.addSitting(plan.Sitting{Slot: plan.Slot{Start: start}, Turns: []plan.Turn{{Task: "a", Number: 2, Minutes: 30}, {Task: "b", Number: 1, Minutes: 30}}}, dues, nil)
	if len(a.Entries) != 1 || a.Entries[0].Due.Task != "b" || !a.Entries[0].Start.Equal(start.Add(30*time.Minute)) {
		t.Errorf("%+v", a.Entries)
	}
}
