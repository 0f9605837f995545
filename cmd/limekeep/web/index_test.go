package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

// In the kitchen of the tests the screen was never soaked, so it is overdue,
// and the burrs outlast every plan.
func TestIndexSortsWhatIsDue(t *testing.T) {
	desk, _ := readKitchen(t)
	answer, body := ask(t, open(desk), get("/"))
	if answer.StatusCode != http.StatusOK {
		t.Fatalf("status %d", answer.StatusCode)
	}
	dues := desk.Forecast(t, schedule.Moment{}).Due()
	coming, rest, found := strings.Cut(body, `id="beyond"`)
	if !found {
		t.Fatal("nothing stands beyond the horizon")
	}
	at := 0
	for _, due := range dues {
		link := fmt.Sprintf(`href="/tasks/%s"`, due.Task)
		if due.Routine { // it stands by itself
			holds(t, body, link)
			continue
		}
		if due.Beyond {
			if strings.Contains(coming, link) || !strings.Contains(rest, link) {
				t.Errorf("%s should stand beyond the horizon alone", due.Task)
			}
			continue
		}
		i := strings.Index(coming, link)
		if i < at {
			t.Errorf("%s stands at %d, not behind what is due before it", due.Task, i)
		}
		at = i
		holds(t, coming, due.Likely.Long())
	}
	holds(t, coming, `<strong class="badge">Overdue</strong>`, "Why</summary>", "Sat 7 Mar 2026, 10:00")
}

func TestIndexSaysWhatWasWritten(t *testing.T) {
	desk, records := writtenKitchen(t)
	h := open(desk)
	last := records.Last().ID
	for _, c := range []struct {
		query string
		told  bool
	}{
		{fmt.Sprint(last), true},
		{"1", false},    // the place itself: no form wrote that
		{"9999", false}, // no such record
		{"%3Cb%3Eyou+won%3C/b%3E", false},
	} {
		_, body := ask(t, h, get("/?written="+c.query))
		if told := strings.Contains(body, `class="notice"`); told != c.told {
			t.Errorf("written=%s: told is %v", c.query, told)
		}
	}
	if _, err := desk.Journal.Void(context.Background(), desk.Day(t, schedule.Moment{}), last, ""); err != nil {
		t.Fatal(err)
	}
	if _, body := ask(t, h, get(fmt.Sprintf("/?written=%d", last))); strings.Contains(body, `class="notice"`) {
		t.Error("a record that was voided since is told as written")
	}
}

// A bar backflushes daily: that gets no card and no sitting.
func TestIndexKeepsTheDailyRoutineApart(t *testing.T) {
	desk, _ := kitchen(t, func(s *schedule.Setup) { s.Equipment[0].Machine.Setting = record.Bar })
	_, body := ask(t, open(desk), get("/"))
	cards, routine, found := strings.Cut(body, `id="routine"`)
	if !found {
		t.Fatal("no daily routine")
	}
	link := `href="/tasks/bench/backflush-water/group"`
	if strings.Contains(cards, link) || !strings.Contains(routine, link) {
		t.Error("the daily backflush does not stand with the routine")
	}
}

// Names can hold any character, and none of them may become markup.
func TestHostileNamesAreEscaped(t *testing.T) {
	const hostile = `<script>alert("x")</script>" onload='y' {{.}} & </title>`
	desk, records := kitchen(t, func(s *schedule.Setup) {
		s.Place.Name = hostile
		for i := range s.Equipment {
			s.Equipment[i].Name = hostile
		}
	})
	if _, err := desk.Journal.Done(context.Background(), desk.Day(t, schedule.Moment{}), 0, record.Service{Task: "group-gasket", Note: hostile}); err != nil {
		t.Fatal(err)
	}
	h := open(desk, withApps(&appBook{list: []web.App{{Name: hostile, Created: noon}}}))
	for _, path := range []string{"/", "/tasks/bench/group-gasket/group", "/tasks/grinder/shot-time", "/water/new", "/plan", "/use", "/history", fmt.Sprintf("/history/%d/take-back", records.Last().ID), "/calendar", fmt.Sprintf("/?written=%d", records.Last().ID), "/tasks/" + "%3Cscript%3E"} {
		_, body := ask(t, h, get(path))
		if strings.Contains(body, "<script") || strings.Contains(body, `" onload`) || strings.Contains(body, "& </title>") {
			t.Errorf("%s: a name became markup", path)
		}
		holds(t, body, "&lt;script")
	}
}

// The list of what is due as a browser gets it, after its water was worked out.
func BenchmarkIndex(b *testing.B) {
	desk, _ := kitchen(b)
	h := open(desk)
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, get("/"))
		if w.Code != http.StatusOK {
			b.Fatalf("status %d", w.Code)
		}
	}
}
