package web_test

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// The page shows what the desk plans: every sitting with its tasks in their order
// and what to have there.
func TestPlanPageShowsThePlan(t *testing.T) {
	desk, _ := readKitchen(t)
	want := desk.Forecast(t, schedule.Moment{}).Plan()
	answer, body := ask(t, open(desk), get("/plan"))
	if answer.StatusCode != http.StatusOK || len(want.Sittings) == 0 {
		t.Fatalf("status %d, %d sittings", answer.StatusCode, len(want.Sittings))
	}
	rest := body
	next := func(text string) {
		_, after, found := strings.Cut(rest, text)
		if !found {
			t.Errorf("%q does not stand in its place", text)
			return
		}
		rest = after
	}
	for _, s := range want.Sittings {
		next(s.Start.Format("Mon 2 Jan 2006, 15:04"))
		for _, turn := range s.Turns {
			next(fmt.Sprintf(`<a href="/tasks/%s">`, turn.Task))
		}
		for _, item := range slices.Concat(s.Parts, s.Tools) {
			next(escaped(item))
		}
	}
	for _, says := range want.Why {
		next(escaped(says))
	}
	if n := strings.Count(body, `<li class="card" id=`); n != len(want.Sittings) {
		t.Errorf("%d sittings are shown, not %d", n, len(want.Sittings))
	}
}

// What cannot be met, what has to be ordered and what you fixed stand there too.
func TestPlanPageSaysWhatCannotBeMet(t *testing.T) {
	desk, _ := kitchen(t)
	ctx := context.Background()
	none := 0.0
	if _, err := desk.Journal.SetStock(ctx, desk.Day(t, schedule.Moment{}), record.Stock{Item: "group gasket", Count: &none}); err != nil {
		t.Fatal(err)
	}
	if _, err := desk.Journal.Block(ctx, desk.Day(t, schedule.Moment{}), record.Blocked{From: record.NewDate(2026, 3, 2), To: record.NewDate(2026, 5, 1)}); err != nil {
		t.Fatal(err)
	}
	if _, err := desk.Journal.MoveTask(ctx, desk.Day(t, schedule.Moment{}), "group-gasket", day.MoveTo, record.NewDate(2026, 5, 2)); err != nil {
		t.Fatal(err)
	}
	p := desk.Forecast(t, schedule.Moment{}).Plan()
	if len(p.CannotMeet) == 0 || len(p.Orders) == 0 {
		t.Fatalf("%d conflicts, %d orders", len(p.CannotMeet), len(p.Orders))
	}
	_, body := ask(t, open(desk), get("/plan"))
	holds(t, body, "Cannot be met", escaped(p.CannotMeet[0].Reason), "To order", escaped(p.Orders[0].Says), "group gasket", "fixed by you")
}

// At a bar some care comes round daily.
func TestPlanPageNamesTheRoutine(t *testing.T) {
	desk, _ := kitchen(t, func(s *schedule.Setup) { s.Equipment[0].Machine.Setting = record.Bar })
	_, body := ask(t, open(desk), get("/plan"))
	_, routine, found := strings.Cut(body, `id="routine"`)
	if !found {
		t.Fatal("no daily routine")
	}
	holds(t, routine, `<a href="/tasks/bench/backflush-water/group">Backflush with water</a>`)
}
