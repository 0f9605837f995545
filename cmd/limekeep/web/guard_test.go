package web_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

func TestEveryAnswerIsStrict(t *testing.T) {
	desk, _ := writtenKitchen(t)
	h := open(desk, func(s *web.Server) { s.AllowedHosts = []string{"example.com"} }) // the host that httptest asks for
	foreign := post("/water", url.Values{}, "Origin", "https://elsewhere.example")
	misdirected := get("/")
	misdirected.Host = "elsewhere.example"
	for _, r := range []*http.Request{
		get("/"), get("/tasks/bench/descale/brew"), get("/tasks/none"), get("/water/new"), get("/plan"), get("/use"), get("/score"), get("/history"), get("/history/6/take-back"), get("/calendar"), get("/equipment"), get("/equipment/bench"), get("/equipment/bench/steam"), get("/water"), get("/settings"), get("/settings/equipment/bench"), get("/static/water.js"), get("/calendar/wrong/limekeep.ics"),
		get("/api/due"), get("/static/style.css"), get("/static/icon.svg"), get("/nowhere"), post("/water", url.Values{}), foreign, misdirected,
	} {
		answer, _ := ask(t, h, r)
		policy := answer.Header.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'self'", "script-src 'self'", "frame-ancestors 'none'", "form-action 'self'", "base-uri 'none'"} {
			if !strings.Contains(policy, want) {
				t.Errorf("%s %s: the policy %q lacks %s", r.Method, r.URL.Path, policy, want)
			}
		}
		if strings.Contains(policy, "unsafe") {
			t.Errorf("%s %s: the policy allows what is unsafe", r.Method, r.URL.Path)
		}
		for header, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "X-Frame-Options": "DENY"} {
			if got := answer.Header.Get(header); got != want {
				t.Errorf("%s %s: %s is %q", r.Method, r.URL.Path, header, got)
			}
		}
	}
}

// A calendar is no page: all it needs is that nobody takes it for one, nor for a
// part of one.
func TestCalendarIsNoPage(t *testing.T) {
	desk, _ := writtenKitchen(t)
	h := open(desk, func(s *web.Server) { s.AllowedHosts = []string{"example.com"} })
	answer, _ := ask(t, h, get(feed))
	for header, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Cross-Origin-Resource-Policy": "same-origin"} {
		if got := answer.Header.Get(header); got != want {
			t.Errorf("%s is %q", header, got)
		}
	}
	elsewhere := get(feed)
	elsewhere.Host = "elsewhere.example"
	if answer, _ := ask(t, h, elsewhere); answer.StatusCode != http.StatusMisdirectedRequest {
		t.Errorf("asked under a foreign name: status %d", answer.StatusCode)
	}
}

// The policy forbids what stands in the page itself, so nothing may: a style or
// a handler there would be dead weight that a browser refuses.
func TestPagesHoldNothingInline(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk, withApps(twoApps()))
	for _, path := range []string{"/", "/tasks/bench/descale/brew", "/tasks/grinder/shot-time", "/water/new", "/plan", "/use", "/score", "/history", "/history/6/take-back", "/calendar", "/equipment", "/equipment/bench", "/equipment/grinder", "/equipment/bench/steam", "/water", "/water/compare", "/print/sitting", "/labels", "/record/bench", "/settings", "/settings/equipment/bench"} {
		_, body := ask(t, h, get(path))
		// The program's own scripts come as files.
		body = withoutOwnScripts(body)
		for _, inline := range []string{"<script", "<style", " style=", " onclick=", " onload=", "javascript:", "src=\"http", "href=\"http"} {
			if strings.Contains(body, inline) {
				t.Errorf("%s holds %q", path, inline)
			}
		}
		holds(t, body, `<html lang="en">`, `name="viewport"`, `href="/static/style.css"`)
	}
}

func TestForeignFormsAreRefused(t *testing.T) {
	desk, records := writtenKitchen(t)
	h := open(desk)
	const path = "http://example.com/tasks/bench/descale/brew/done"
	for _, c := range []struct {
		name    string
		headers []string
		status  int
	}{
		{"another origin", []string{"Origin", "https://elsewhere.example"}, 403},
		{"another port", []string{"Origin", "http://example.com:8081"}, 403},
		{"hidden origin", []string{"Origin", "null"}, 403},
		{"another site, as the browser says", []string{"Sec-Fetch-Site", "cross-site"}, 403},
		{"same site, another origin", []string{"Sec-Fetch-Site", "same-site"}, 403},
		{"own page", []string{"Sec-Fetch-Site", "same-origin", "Origin", "http://example.com"}, 303},
		{"own page over plain HTTP", []string{"Origin", "http://example.com"}, 303},
		{"no browser", nil, 303},
	} {
		kept := len(records.Of(record.KindService))
		answer, _ := ask(t, h, post(path, url.Values{"date": {"2026-03-01"}}, c.headers...))
		if answer.StatusCode != c.status {
			t.Errorf("%s: status %d, not %d", c.name, answer.StatusCode, c.status)
		}
		if written := len(records.Of(record.KindService)) > kept; written != (c.status == 303) {
			t.Errorf("%s: written is %v", c.name, written)
		}
	}
}

func TestOnlyAllowedHosts(t *testing.T) {
	desk, _ := readKitchen(t)
	for _, c := range []struct {
		allowed []string
		host    string
		status  int
	}{
		{nil, "anything.example", 200},
		{[]string{"localhost", "127.0.0.1", "[::1]"}, "localhost:8080", 200},
		{[]string{"localhost", "127.0.0.1", "[::1]"}, "LOCALHOST.:8080", 200},
		{[]string{"localhost", "127.0.0.1", "[::1]"}, "127.0.0.1", 200},
		{[]string{"localhost", "127.0.0.1", "[::1]"}, "[::1]:8080", 200},
		{[]string{"localhost", "127.0.0.1", "[::1]"}, "[::1]", 200},
		{[]string{"localhost"}, "localhost.elsewhere.example", 421},
		{[]string{"localhost"}, "elsewhere.example:8080", 421},
		{[]string{"localhost"}, "", 421},
		{[]string{"localhost:8080"}, "localhost:8080", 200},
		{[]string{"localhost:8080"}, "localhost:9090", 421},
	} {
		r := get("/static/style.css")
		r.Host = c.host
		answer, body := ask(t, open(desk, func(s *web.Server) { s.AllowedHosts = c.allowed }), r)
		if answer.StatusCode != c.status {
			t.Errorf("%q at %v: status %d, not %d", c.host, c.allowed, answer.StatusCode, c.status)
		}
		if c.status == 421 && (c.host != "" && strings.Contains(body, c.host) || !strings.HasPrefix(answer.Header.Get("Content-Type"), "text/plain")) {
			t.Errorf("%q: %s %q", c.host, answer.Header.Get("Content-Type"), body)
		}
	}
}

func TestPanicsDoNoHarm(t *testing.T) {
	desk, _ := kitchen(t)
	var log bytes.Buffer
	h := open(desk, logged(&log), func(s *web.Server) {
		s.Secret = func(context.Context) (string, error) { panic("the roof fell in") }
	})
	answer, body := ask(t, h, get(feed))
	if answer.StatusCode != http.StatusInternalServerError || strings.Contains(body, "roof") {
		t.Errorf("status %d: %s", answer.StatusCode, body)
	}
	holds(t, log.String(), "the roof fell in", "limekeep.ics")
	if strings.Contains(log.String(), secret) {
		t.Error("the log holds the calendar's secret")
	}
	if answer, _ := ask(t, h, get("/history")); answer.StatusCode != http.StatusOK {
		t.Errorf("afterwards: status %d", answer.StatusCode)
	}
}

func TestErrorsAreAnswered(t *testing.T) {
	broken := errors.New("the disk /secret/path is full")
	for _, c := range []struct {
		name   string
		spoil  func(*testing.T) (*sample.Kitchen, func(*web.Server))
		status int
		holds  string
		logged bool
	}{
		{"nothing set up", func(t *testing.T) (*sample.Kitchen, func(*web.Server)) {
			desk, _ := kitchen(t)
			desk.Records = &sample.Records{}
			return desk, func(*web.Server) {}
		}, http.StatusServiceUnavailable, "set them up first", false},
		{"unknown place", func(t *testing.T) (*sample.Kitchen, func(*web.Server)) {
			desk, _ := kitchen(t)
			return desk, func(s *web.Server) { s.Place = "attic" }
		}, http.StatusNotFound, "attic", false},
		{"records that cannot be read", func(t *testing.T) (*sample.Kitchen, func(*web.Server)) {
			desk, records := kitchen(t)
			records.Fails = broken
			return desk, func(*web.Server) {}
		}, http.StatusInternalServerError, "log says why", true},
	} {
		for _, path := range []string{"/", "/tasks/bench/descale/brew", "/water/new", "/plan", "/use", "/history", "/history/6/take-back", "/calendar", feed, "/api/due"} {
			t.Run(c.name+path, func(t *testing.T) {
				var log bytes.Buffer
				desk, change := c.spoil(t)
				answer, body := ask(t, open(desk, logged(&log), change), get(path))
				if answer.StatusCode != c.status {
					t.Errorf("status %d, not %d", answer.StatusCode, c.status)
				}
				holds(t, body, c.holds)
				if strings.Contains(body, "/secret/path") {
					t.Error("the page tells what only the log should hold")
				}
				if told := strings.Contains(log.String(), broken.Error()); told != c.logged {
					t.Errorf("logged is %v: %s", told, log.String())
				}
			})
		}
	}
}

func TestDueJSON(t *testing.T) {
	desk, _ := readKitchen(t)
	answer, body := ask(t, open(desk), get("/api/due"))
	if kind := answer.Header.Get("Content-Type"); kind != "application/json; charset=utf-8" {
		t.Errorf("Content-Type is %q", kind)
	}
	want := desk.Forecast(t, schedule.Moment{}).Due()
	text, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	if strings.TrimSpace(body) != string(text) {
		t.Error("the JSON is not what the desk answers")
	}
}

func TestStyleIsKept(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	answer, body := ask(t, h, get("/static/style.css"))
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "text/css; charset=utf-8" || !strings.Contains(body, "prefers-color-scheme: dark") {
		t.Errorf("status %d, %s", answer.StatusCode, answer.Header.Get("Content-Type"))
	}
	if strings.Contains(body, "url(") || strings.Contains(body, "@import") {
		t.Error("the style sheet loads something else")
	}
	if again, _ := ask(t, h, get("/static/style.css", "If-None-Match", answer.Header.Get("ETag"))); again.StatusCode != http.StatusNotModified {
		t.Errorf("asked again: status %d", again.StatusCode)
	}
}

// To look at a page, or to open the address of a form, writes nothing, whatever
// the address holds.
func TestLookingWritesNothing(t *testing.T) {
	desk, records := readKitchen(t)
	h := open(desk)
	kept := records.Last().ID
	for _, path := range []string{
		"/", "/plan", "/use", "/use/shots?shots-shots=4&shots-date=2026-03-02", "/use/end?end-record=6", "/history/6/take-back?why=x",
		"/tasks/grinder/shot-time?seconds=28&setting=14&dose_grams=18&yield_grams=36", "/tasks/grinder/shot-time/reading?seconds=28",
		"/tasks/bench/group-gasket/group/move?move=next", "/tasks/bench/group-gasket/group/done?date=2026-03-01", "/water/new?value-1=12",
	} {
		for _, method := range []string{http.MethodGet, http.MethodHead} {
			ask(t, h, request(method, path, ""))
			if records.Last().ID != kept {
				t.Fatalf("%s %s wrote %+v", method, path, records.Last())
			}
		}
	}
}

// withoutOwnScripts leaves out the scripts that pages ask for themselves, by an
// address of this program, so that any other is seen.
func withoutOwnScripts(body string) string {
	return regexp.MustCompile(`<script src="/static/[a-z]+\.js" defer></script>`).ReplaceAllString(body, "")
}
