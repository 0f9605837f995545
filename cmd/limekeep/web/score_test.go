package web_test

import (
	"context"
	"net/http"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// The page shows what was found against what had gone out before, with its picture
// and its figures, and says that one finding tells nothing.
func TestScorePage(t *testing.T) {
	desk, _ := kitchen(t)
	moment := schedule.Moment{Place: "home", Today: record.NewDate(2026, 3, 2)}
	sample.Publish(t, desk, moment)
	day := desk.Day(t, moment)
	if _, err := desk.Journal.Done(context.Background(), day, 0, record.Service{Task: "bench/descale/brew", Finding: record.Crust}); err != nil {
		t.Fatal(err)
	}
	answer, body := ask(t, open(desk), get("/score"))
	if answer.StatusCode != http.StatusOK {
		t.Fatalf("status %d", answer.StatusCode)
	}
	holds(t, body, "One finding could be held against it", "too few to tell", "13 more may tell", "crust, foreseen on Mon 2 Mar 2026: bare ", "Where in its forecast each finding lay",
		"<svg", `href="/tasks/bench/descale/brew"`, "By 1 finding of scale", "A fixed interval would have scored")
	m := readMarkup(t, body)
	for i := 1; i < len(m.headings); i++ {
		if m.headings[i] > m.headings[i-1]+1 {
			t.Errorf("headings skip a level: %v", m.headings)
		}
	}
	if len(m.bare) > 0 {
		t.Errorf("%d table headers have no scope", len(m.bare))
	}
}
