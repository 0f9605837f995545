package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

// Every task of the kitchen stands on the page of now, and each once but for those
// whose gauges are drawn: what its safety hangs on and is past with what is wrong,
// the next sitting's with it, the routine by itself, all else by its month or beyond
// the horizon.
func TestNowSortsWhatThereIsToDo(t *testing.T) {
	desk, records := kitchen(t)
	// Known to be long past, and not only not known.
	last := record.Entry{Place: records.Last().Place, Effective: record.NewDate(2024, 3, 1), Entered: noon, Source: "command", Body: record.Service{Task: "bench/look-underneath"}}
	if _, err := records.Append(t.Context(), last); err != nil {
		t.Fatal(err)
	}
	answer, body := ask(t, open(desk), get("/"))
	if answer.StatusCode != http.StatusOK {
		t.Fatalf("status %d", answer.StatusCode)
	}
	f := desk.Forecast(t, schedule.Moment{})
	body = regexp.MustCompile(`(?s)<section[^>]* aria-labelledby="stand">.*?</section>`).ReplaceAllString(body, "")
	parts := map[string]string{}
	for _, part := range regexp.MustCompile(`(?s)<section class="(\w+).*?</section>|<section class="card (next).*?</section>`).FindAllStringSubmatch(body, -1) {
		parts[part[1]+part[2]] = part[0]
	}
	wrong, next := map[string]bool{}, map[string]bool{}
	for _, a := range f.Alarms() {
		wrong[a.Task] = true
	}
	for _, turn := range f.Plan().Sittings[0].Turns {
		next[turn.Task] = true
	}
	safety := 0
	for _, a := range f.Alarms() {
		if next[a.Task] {
			safety++
		}
	}
	if told := strings.Contains(parts["card"], fmt.Sprintf("%d of its tasks are past", safety)); told != (safety > 0) {
		t.Errorf("%d of the next sitting's tasks are past and for safety; told is %v", safety, told)
	}
	if len(wrong) == 0 || len(next) == 0 {
		t.Fatalf("%d alarms and %d tasks in the next sitting", len(wrong), len(next))
	}
	_, beyond, found := strings.Cut(parts["folds"], `id="beyond"`)
	if !found {
		t.Fatal("nothing stands beyond the horizon")
	}
	for _, due := range f.Due() {
		link := fmt.Sprintf(`href="/tasks/%s"`, due.Task)
		n := strings.Count(body, link)
		switch {
		case next[due.Task]:
			holds(t, parts["card"], link)
		case wrong[due.Task]:
			holds(t, parts["alarms"], link)
		case due.Routine:
			holds(t, parts["routine"], link)
		case due.Beyond && due.Sitting == nil && due.Visit == nil:
			holds(t, beyond, link)
		default:
			holds(t, parts["folds"], link)
			if strings.Contains(beyond, link) {
				t.Errorf("%s should not stand beyond the horizon", due.Task)
			}
		}
		if n != 1 {
			t.Errorf("%s stands %d times", due.Task, n)
		}
	}
	holds(t, body, "Sat 7 Mar 2026, 10:00")
}

// A round of the routine is ticked in one tap, its tasks each once, and the page says
// so with a way to take each back; sent again it leads to the same records.
func TestRoutineIsTicked(t *testing.T) {
	desk, records := kitchen(t, func(s *schedule.Setup) { s.Equipment[0].Machine.Setting = record.Bar })
	h := open(desk)
	_, body := ask(t, h, get("/"))
	sent := url.Values{"ticket": {"one"}}
	for _, m := range regexp.MustCompile(`name="task" value="([^"]+)"`).FindAllStringSubmatch(body, -1) {
		if !slices.Contains(sent["task"], m[1]) {
			sent.Add("task", m[1])
		}
	}
	if len(sent["task"]) < 2 {
		t.Fatalf("the routine is %v", sent["task"])
	}
	before := len(records.Of(record.KindService))
	first := ""
	for range 2 {
		answer, _ := ask(t, h, post("/routine", sent))
		if answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("status %d", answer.StatusCode)
		}
		if to := answer.Header.Get("Location"); first != "" && to != first {
			t.Errorf("sent again it leads to %s, not to %s", to, first)
		}
		first = answer.Header.Get("Location")
	}
	if n := len(records.Of(record.KindService)) - before; n != len(sent["task"]) {
		t.Errorf("%d services were written for %d tasks", n, len(sent["task"]))
	}
	_, body = ask(t, h, get(first))
	if n := strings.Count(body, "/take-back"); n != len(sent["task"]) {
		t.Errorf("%d of %d can be taken back", n, len(sent["task"]))
	}
}

func TestNowSaysWhatWasWritten(t *testing.T) {
	desk, _ := writtenKitchen(t)
	h := open(desk)
	written, err := desk.Journal.Done(context.Background(), desk.Day(t, schedule.Moment{}), 0, record.Service{Task: "group-gasket"})
	if err != nil {
		t.Fatal(err)
	}
	last := written.Record
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
func TestNowKeepsTheDailyRoutineApart(t *testing.T) {
	desk, _ := kitchen(t, func(s *schedule.Setup) { s.Equipment[0].Machine.Setting = record.Bar })
	_, body := ask(t, open(desk), get("/"))
	rest, routine, found := strings.Cut(body, `id="routine"`)
	if !found {
		t.Fatal("no daily routine")
	}
	link := `href="/tasks/bench/backflush-water/group"`
	if strings.Contains(rest, link) || !strings.Contains(routine, link) {
		t.Errorf("the daily backflush does not stand with the routine:\n%s", body[strings.Index(body, "<main"):])
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
	for _, path := range []string{"/", "/tasks/bench/group-gasket/group", "/tasks/grinder/shot-time", "/water/new", "/plan", "/use", "/history", fmt.Sprintf("/history/%d/take-back", records.Last().ID), "/calendar", fmt.Sprintf("/?written=%d", records.Last().ID), "/tasks/" + "%3Cscript%3E", "/settings", "/settings/care", "/settings/equipment/bench", "/settings/equipment/grinder", "/settings/equipment/tap", "/settings/equipment/tap/retire", "/settings/add/cartridge", "/own-calendar", "/use/import"} {
		_, body := ask(t, h, get(path))
		if strings.Contains(withoutOwnScripts(body), "<script") || strings.Contains(body, `" onload`) || strings.Contains(body, "& </title>") {
			t.Errorf("%s: a name became markup", path)
		}
		holds(t, body, "&lt;script")
	}
}

// The list of what is due as a browser gets it, after its water was worked out.
func BenchmarkNow(b *testing.B) {
	desk, _ := kitchen(b)
	h := open(desk)
	h.ServeHTTP(httptest.NewRecorder(), get("/")) // works the forecast out
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, get("/"))
		if w.Code != http.StatusOK {
			b.Fatalf("status %d", w.Code)
		}
	}
}
