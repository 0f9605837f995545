package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Each move leads back to the task, which says what it risks.
func TestTasksAreMoved(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	const task = "bench/group-gasket/group"
	stands := func() day.Position {
		s, err := desk.Forecast(t, schedule.Moment{}).Positions().Of(task, 0)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	for _, c := range []struct {
		form  url.Values
		wrote func(was day.Position) record.Pin
		holds string // where it is moved afterwards
	}{
		{url.Values{"move": {"next"}}, func(was day.Position) record.Pin { return record.Pin{On: *was.Next} }, "You fixed it on"},
		{url.Values{"move": {"free"}}, func(day.Position) record.Pin { return record.Pin{Free: true} }, "Keep this day"},
		{url.Values{"move": {"skip"}}, func(was day.Position) record.Pin { return record.Pin{After: *was.On} }, "You put it off beyond"},
		{url.Values{"move": {"to"}, "day": {"2026-03-10"}}, func(day.Position) record.Pin { return record.Pin{On: record.NewDate(2026, 3, 10)} }, "You fixed it on <time datetime=\"2026-03-10\">"},
		{url.Values{"move": {"free"}}, func(day.Position) record.Pin { return record.Pin{Free: true} }, "Skip this slot"},
		{url.Values{"move": {"fix"}}, func(was day.Position) record.Pin { return record.Pin{On: *was.On} }, "Free again"},
	} {
		was := stands()
		answer, _ := ask(t, h, post("/tasks/"+task+"/move", c.form))
		last := records.Last()
		if want := fmt.Sprintf("/tasks/%s?before=%s&written=%d", task, was.On, last.ID); answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != want {
			t.Fatalf("%v: status %d to %q, not 303 to %q", c.form, answer.StatusCode, answer.Header.Get("Location"), want)
		}
		want := c.wrote(was)
		want.Task = task
		if last.Body != record.Body(want) {
			t.Errorf("%v: wrote %+v, not %+v", c.form, last.Body, want)
		}
		_, body := ask(t, h, get(answer.Header.Get("Location")))
		told, rest, _ := strings.Cut(body, `id="safety"`)
		now := stands()
		holds(t, told, fmt.Sprintf("Written down as record %d", last.ID), "It is planned for "+now.On.Long(), "chance that its limit is passed by then")
		if *now.On != *was.On {
			holds(t, told, "% on "+was.On.Long())
		}
		holds(t, rest, c.holds)
	}
}

func TestMovesThatCannotBe(t *testing.T) {
	desk, records := readKitchen(t)
	h := open(desk)
	kept := len(records.Of(record.KindPin))
	for _, c := range []struct {
		name  string
		task  string
		form  url.Values
		code  int
		input string
		holds string
	}{
		{"yesterday", "bench/group-gasket/group", url.Values{"move": {"to"}, "day": {"2026-03-01"}}, 422, "day", `value="2026-03-01"`},
		{"beyond the plan", "bench/group-gasket/group", url.Values{"move": {"to"}, "day": {"2036-03-01"}}, 422, "day", "to the end of the plan"},
		{"no day", "bench/group-gasket/group", url.Values{"move": {"to"}}, 422, "day", "give a day, such as"},
		{"nonsense for a day", "bench/group-gasket/group", url.Values{"move": {"to"}, "day": {"soon"}}, 422, "day", `value="soon"`},
		{"no move", "bench/group-gasket/group", url.Values{"day": {"2026-03-20"}}, 422, "", "one of the moves"},
		{"another move", "bench/group-gasket/group", url.Values{"move": {"waltz"}}, 422, "", "waltz"},
		{"an unknown task", "bench/polish", url.Values{"move": {"next"}}, 404, "", "not known"},
	} {
		t.Run(c.name, func(t *testing.T) {
			answer, body := ask(t, h, post("/tasks/"+c.task+"/move", c.form))
			if answer.StatusCode != c.code {
				t.Fatalf("status %d, not %d", answer.StatusCode, c.code)
			}
			holds(t, body, c.holds)
			if c.input != "" {
				holds(t, body, fmt.Sprintf(`aria-describedby="%s-problem"`, c.input))
			}
			if n := len(records.Of(record.KindPin)); n != kept {
				t.Errorf("%d moves are kept, not %d", n, kept)
			}
		})
	}
}

// What has no sitting shows no way to move it and takes none.
func TestRoutineIsNotMoved(t *testing.T) {
	desk, records := kitchen(t, func(s *schedule.Setup) { s.Equipment[0].Machine.Setting = record.Bar })
	h := open(desk)
	const path = "/tasks/bench/backflush-water/group"
	if _, body := ask(t, h, get(path)); strings.Contains(body, "/move") {
		t.Error("the daily routine can be moved")
	}
	if answer, _ := ask(t, h, post(path+"/move", url.Values{"move": {"next"}})); answer.StatusCode != http.StatusUnprocessableEntity || len(records.Of(record.KindPin)) != 0 {
		t.Errorf("status %d", answer.StatusCode)
	}
}

// A link can put nothing of its own on the page.
func TestNothingIsToldOfALinkAlone(t *testing.T) {
	desk, _ := readKitchen(t)
	for _, query := range []string{"written=1", "written=99999", "written=x&before=%3Cb%3E", "before=2026-03-07"} {
		answer, body := ask(t, open(desk), get("/tasks/bench/group-gasket/group?"+query))
		if answer.StatusCode != http.StatusOK || strings.Contains(body, `class="notice"`) {
			t.Errorf("%s: status %d, and something is told", query, answer.StatusCode)
		}
	}
}

// Another day says what it would risk before anything is moved, and the form beside it
// moves the task there.
func TestAnotherDayTellsItsRiskFirst(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	const path = "/tasks/bench/group-gasket/group"
	kept := len(records.Of(record.KindPin))
	_, body := ask(t, h, get(path+"?day=2026-06-10"))
	risk, err := desk.Forecast(t, schedule.Moment{}).Positions().IfMoved("bench/group-gasket/group", record.NewDate(2026, 6, 10))
	if err != nil {
		t.Fatal(err)
	}
	holds(t, body, "On Wed 10 Jun 2026 there would be", fmt.Sprintf("a %.0f %% chance", 100*risk.After), `<input type="hidden" name="day" value="2026-06-10">`)
	if len(records.Of(record.KindPin)) != kept {
		t.Error("it was moved by being asked about")
	}
	answer, _ := ask(t, h, post(path+"/move", url.Values{"move": {"to"}, "day": {"2026-06-10"}}))
	if answer.StatusCode != http.StatusSeeOther || len(records.Of(record.KindPin)) != kept+1 {
		t.Errorf("status %d", answer.StatusCode)
	}
	for day, says := range map[string]string{"2026-03-01": "a day from today", "soon": `value="soon"`, "2046-03-01": "to the end of the plan"} {
		if _, body := ask(t, h, get(path+"?day="+day)); !strings.Contains(body, says) || !strings.Contains(body, `aria-describedby="day-problem"`) {
			t.Errorf("of %s it does not say %q", day, says)
		}
	}
}
