package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

func TestTaskPagePutsSafetyFirst(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	all := desk.Day(t, schedule.Moment{}).Tasks()
	for _, info := range all {
		answer, body := ask(t, h, get("/tasks/"+info.Task))
		if answer.StatusCode != http.StatusOK {
			t.Fatalf("%s: status %d", info.Task, answer.StatusCode)
		}
		at, how := 0, `id="how"`
		if info.Who.Booked() {
			how = `id="book"` // asked for, never explained
		}
		for _, part := range []string{"What can hurt", "Make safe, in this order", `id="when"`, how, "A good result", `id="record"`} {
			i := strings.Index(body, part)
			if i < at {
				t.Errorf("%s: %q stands at %d, behind %d", info.Task, part, i, at)
			}
			at = i
		}
		for _, texts := range [][]string{info.Cautions, info.MakeSafe, info.Steps, info.AskFor, info.Check, info.Otherwise, info.NoteDown, {info.Good}} {
			for _, text := range texts {
				holds(t, body, escaped(text))
			}
		}
	}
}

// escaped writes a text of the catalogue as a page holds it.
func escaped(text string) string { return strings.ReplaceAll(text, "'", "&#39;") }

func TestTaskAddresses(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	for _, c := range []struct {
		path   string
		status int
		leads  string
	}{
		{"/tasks/bench/descale/brew", http.StatusOK, ""},
		{"/tasks/group-gasket", http.StatusFound, "/tasks/bench/group-gasket/group"},
		{"/tasks/descale", http.StatusNotFound, ""}, // two vessels have one
		{"/tasks/bench/polish", http.StatusNotFound, ""},
		{"/tasks/", http.StatusNotFound, ""},
		{"/nowhere", http.StatusNotFound, ""},
	} {
		answer, _ := ask(t, h, get(c.path))
		if answer.StatusCode != c.status || answer.Header.Get("Location") != c.leads {
			t.Errorf("%s: status %d to %q, not %d to %q", c.path, answer.StatusCode, answer.Header.Get("Location"), c.status, c.leads)
		}
	}
}

// The work of licensed people is booked: no step of it may show.
func TestLicensedWorkIsNotExplained(t *testing.T) {
	desk, _ := kitchen(t)
	catalogue := *desk.Catalogue
	catalogue.Tasks = append([]care.Task{}, catalogue.Tasks...)
	for i := range catalogue.Tasks {
		if catalogue.Tasks[i].ID == "group-gasket" {
			catalogue.Tasks[i].Who = care.Licensed
		}
	}
	desk.Catalogue = &catalogue
	_, body := ask(t, open(desk), get("/tasks/bench/group-gasket/group"))
	holds(t, body, "work for licensed people", "What can hurt", `action="/tasks/bench/group-gasket/group/done"`)
	for _, hidden := range []string{`id="how"`, "lever the old gasket out"} {
		if strings.Contains(body, hidden) {
			t.Errorf("the page holds %q", hidden)
		}
	}
}

func TestWaterTestTaskLeadsToItsForm(t *testing.T) {
	desk, _ := readKitchen(t)
	_, body := ask(t, open(desk), get("/tasks/tap/water-test"))
	holds(t, body, `href="/water/new?line=tap"`)
	if strings.Contains(body, "/done") || strings.Contains(body, "/reading") {
		t.Error("a water test can be recorded without its values")
	}
}

func TestRecordService(t *testing.T) {
	desk, records := writtenKitchen(t)
	h := open(desk)
	answer, _ := ask(t, h, post("/tasks/bench/descale/brew/done", url.Values{
		"date": {"2026-03-01"}, "finding": {"crust"}, "grams": {" 4.5 "}, "note": {"two baths\r\nthen rinsed"},
	}))
	last := records.Last()
	if want := fmt.Sprintf("/?written=%d", last.ID); answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != want {
		t.Fatalf("status %d to %q, not 303 to %q", answer.StatusCode, answer.Header.Get("Location"), want)
	}
	want := record.Service{Task: "bench/descale/brew", Finding: record.Crust, Grams: 4.5, Note: "two baths\nthen rinsed"}
	if last.Body != record.Body(want) || last.Effective != record.NewDate(2026, 3, 1) || last.Source != "page" {
		t.Errorf("wrote %+v on %s by %q", last.Body, last.Effective, last.Source)
	}
	_, body := ask(t, h, get(answer.Header.Get("Location")))
	holds(t, body, `role="status"`, "found crust, 4.5 g", "Sun 1 Mar 2026")
}

func TestRecordServiceRefuses(t *testing.T) {
	desk, records := readKitchen(t)
	h := open(desk)
	kept := len(records.Of(record.KindService))
	for _, c := range []struct {
		name   string
		task   string
		form   url.Values
		status int
		input  string // marked, and the problem stands beside it
		holds  []string
	}{
		{"no such day", "bench/descale/brew", url.Values{"date": {"2026-02-30"}}, 422, "date", []string{"2026-02-30"}},
		{"tomorrow", "bench/descale/brew", url.Values{"date": {"2026-03-03"}, "note": {"early & eager"}}, 422, "date", []string{"not after today", "early &amp; eager"}},
		{"before it was bought", "bench/descale/brew", url.Values{"date": {"2023-01-01"}}, 422, "date", []string{"was bought"}},
		{"finding of another sort", "bench/descale/brew", url.Values{"finding": {"worn"}}, 422, "finding", []string{"bare, film, crust, flakes"}},
		{"grams in words", "bench/descale/brew", url.Values{"grams": {"four"}, "finding": {"film"}}, 422, "grams", []string{`value="four"`, `value="film" selected`, "with a point"}},
		{"perhaps thousands of grams", "bench/descale/brew", url.Values{"grams": {"4,500"}}, 422, "grams", []string{`value="4,500"`, "may be thousands"}},
		{"grams beyond all bounds", "bench/descale/brew", url.Values{"grams": {"99999"}}, 422, "grams", []string{`value="99999"`}},
		{"grams where none can be", "bench/group-gasket/group", url.Values{"grams": {"3"}}, 422, "", []string{"for a descaling only"}},
		{"endless note", "bench/descale/brew", url.Values{"note": {strings.Repeat("x", 1001)}}, 422, "note", []string{"at most 1000"}},
		{"water test without values", "tap/water-test", url.Values{}, 422, "", []string{"the values themselves"}},
		{"unknown task", "bench/polish", url.Values{}, 404, "", []string{"not known"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			answer, body := ask(t, h, post("/tasks/"+c.task+"/done", c.form))
			if answer.StatusCode != c.status {
				t.Fatalf("status %d, not %d", answer.StatusCode, c.status)
			}
			holds(t, body, c.holds...)
			if c.status == http.StatusUnprocessableEntity {
				holds(t, body, "Nothing was written yet")
			}
			if c.input != "" {
				holds(t, body, fmt.Sprintf(`aria-describedby="%s-problem"`, c.input), fmt.Sprintf(`id="%s-problem"`, c.input))
			}
			if n := len(records.Of(record.KindService)); n != kept {
				t.Errorf("%d services are kept, not %d", n, kept)
			}
		})
	}
}

// A body that is not a form must not count as a form left empty.
func TestRecordServiceTakesFormsOnly(t *testing.T) {
	desk, records := readKitchen(t)
	h := open(desk)
	kept := len(records.Of(record.KindService))
	for _, c := range []struct {
		name   string
		r      *http.Request
		status int
	}{
		{"JSON", request(http.MethodPost, "/tasks/bench/descale/brew/done", `{"date":"2026-03-01"}`, "Content-Type", "application/json"), 415},
		{"nothing", request(http.MethodPost, "/tasks/bench/descale/brew/done", ""), 415},
		{"broken", request(http.MethodPost, "/tasks/bench/descale/brew/done", "date=%zz", "Content-Type", "application/x-www-form-urlencoded"), 415},
		{"too much", post("/tasks/bench/descale/brew/done", url.Values{"note": {strings.Repeat("x", 65<<10)}}), 413},
		{"wrong address", post("/tasks/bench/descale/brew", url.Values{}), 405},
		{"wrong method", request(http.MethodDelete, "/tasks/bench/descale/brew", ""), 405},
	} {
		if answer, _ := ask(t, h, c.r); answer.StatusCode != c.status {
			t.Errorf("%s: status %d, not %d", c.name, answer.StatusCode, c.status)
		}
	}
	if n := len(records.Of(record.KindService)); n != kept {
		t.Errorf("%d services are kept, not %d", n, kept)
	}
}

// Two clicks on the button, or a form sent again from the browser's history,
// are one service.
func TestClicksSideBySideAreOneService(t *testing.T) {
	desk, records := writtenKitchen(t)
	h := open(desk)
	kept := len(records.Of(record.KindService))
	const path = "/tasks/bench/descale/brew"
	_, body := ask(t, h, get(path))
	token := tokenIn(t, body)
	var wait sync.WaitGroup
	leads := make([]string, 4)
	for i := range leads {
		wait.Go(func() {
			answer, _ := ask(t, h, post(path+"/done", url.Values{"date": {"2026-03-01"}, "ticket": {token}}))
			leads[i] = answer.Header.Get("Location")
		})
	}
	wait.Wait()
	if n := len(records.Of(record.KindService)); n != kept+1 {
		t.Errorf("%d services are kept, not %d", n, kept+1)
	}
	for _, l := range leads {
		if want := fmt.Sprintf("/?written=%d", records.Last().ID); l != want {
			t.Errorf("one click led to %q, not %q", l, want)
		}
	}
}

// Somebody who goes back changes what is filled in, or puts a mistake right on the
// page that told of it: what was taken is known by its token and its content.
func TestRecordServiceAfterGoingBack(t *testing.T) {
	desk, records := writtenKitchen(t)
	h := open(desk)
	kept := len(records.Of(record.KindService))
	const path = "/tasks/bench/descale/brew"
	answer, body := ask(t, h, get(path))
	if kept := answer.Header.Get("Cache-Control"); kept != "private, no-cache" {
		t.Errorf("the browser keeps the form for its Back button by %q", kept)
	}
	form := url.Values{"ticket": {tokenIn(t, body)}, "date": {"2026-02-30"}}
	answer, body = ask(t, h, post(path+"/done", form))
	if kept := answer.Header.Get("Cache-Control"); answer.StatusCode != http.StatusUnprocessableEntity || kept != "private, no-cache" {
		t.Errorf("status %d, kept by %q", answer.StatusCode, kept)
	}
	if again := tokenIn(t, body); again != form.Get("ticket") {
		t.Errorf("shown again, the form has another token, %q", again)
	}
	for i, c := range []struct {
		date string
		more int // services that are kept then
	}{{"2026-02-28", 1}, {"2026-02-28", 1}, {"2026-02-27", 2}, {"2026-02-28", 2}} {
		form.Set("date", c.date)
		ask(t, h, post(path+"/done", form))
		if n := len(records.Of(record.KindService)); n != kept+c.more {
			t.Errorf("sending %d: %d services are kept, not %d", i, n, kept+c.more)
		}
	}
}

// tokenIn finds the token on a page.
func tokenIn(t *testing.T, body string) string {
	t.Helper()
	found := regexp.MustCompile(`name="ticket" value="([^"]+)"`).FindStringSubmatch(body)
	if found == nil {
		t.Fatal("the form has no ticket")
	}
	return found[1]
}
