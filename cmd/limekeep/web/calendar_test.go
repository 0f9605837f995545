package web_test

import (
	"compress/gzip"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

const feed = "/calendar/" + secret + "/limekeep.ics"

func TestCalendarIsServed(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk, func(s *web.Server) { s.BaseURL = "https://care.example" })
	answer, body := ask(t, h, get(feed))
	if answer.StatusCode != http.StatusOK {
		t.Fatalf("status %d: %s", answer.StatusCode, body)
	}
	if kind := answer.Header.Get("Content-Type"); kind != "text/calendar; charset=utf-8" {
		t.Errorf("Content-Type is %q", kind)
	}
	if control := answer.Header.Get("Cache-Control"); !strings.HasPrefix(control, "private, max-age=") {
		t.Errorf("Cache-Control is %q", control)
	}
	cal, err := goical.NewDecoder(strings.NewReader(body)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	events := cal.Events()
	if len(events) == 0 {
		t.Fatal("the calendar holds no event")
	}
	for _, e := range events {
		link := e.Props.Get("URL")
		if link == nil || link.Value != "https://care.example/plan" && link.Value != "https://care.example/history" {
			t.Errorf("an event leads to %v", link)
			continue
		}
		// A sitting leads to each of its tasks as well.
		if text := e.Props.Get(goical.PropDescription).Value; link.Value == "https://care.example/plan" && !strings.Contains(text, "https://care.example/tasks/") {
			t.Errorf("a sitting leads to none of its tasks: %s", text)
		}
	}
	if n := len(records.Of(record.KindPublication)); n != 1 {
		t.Errorf("%d plans were published, not the one that went out", n)
	}
	// The published plan steadies the next one: fetched again, it is the same.
	again, same := ask(t, h, get(feed))
	if same != body || again.Header.Get("ETag") != answer.Header.Get("ETag") {
		t.Error("the second fetch differs from the first")
	}
	if n := len(records.Of(record.KindPublication)); n != 1 {
		t.Errorf("%d plans were published though nothing changed", n)
	}
}

func TestCalendarIsAskedForAgain(t *testing.T) {
	desk, _ := writtenKitchen(t)
	h := open(desk)
	first, _ := ask(t, h, get(feed))
	tag := first.Header.Get("ETag")
	if len(tag) < 10 || tag[0] != '"' {
		t.Fatalf("ETag %s is not a strong one", tag)
	}
	packed, _ := ask(t, h, get(feed, "Accept-Encoding", "gzip"))
	for _, c := range []struct {
		name    string
		headers []string
		status  int
	}{
		{"the same", []string{"If-None-Match", tag}, http.StatusNotModified},
		{"one of several", []string{"If-None-Match", `"other", ` + tag}, http.StatusNotModified},
		{"weakened on the way", []string{"If-None-Match", "W/" + tag}, http.StatusNotModified},
		{"another", []string{"If-None-Match", `"other"`}, http.StatusOK},
		{"packed, the same", []string{"If-None-Match", packed.Header.Get("ETag"), "Accept-Encoding", "gzip"}, http.StatusNotModified},
		{"packed, asked plain", []string{"If-None-Match", packed.Header.Get("ETag")}, http.StatusOK},
	} {
		answer, body := ask(t, h, get(feed, c.headers...))
		if answer.StatusCode != c.status {
			t.Errorf("%s: status %d, not %d", c.name, answer.StatusCode, c.status)
		}
		if c.status == http.StatusNotModified && (body != "" || answer.Header.Get("ETag") == "" || answer.Header.Get("Vary") != "Accept-Encoding") {
			t.Errorf("%s: 304 with %d bytes and %v", c.name, len(body), answer.Header)
		}
	}
	// RFC 9110, 13.1.3: by date, unless a tag is named.
	modified := first.Header.Get("Last-Modified")
	at, err := http.ParseTime(modified)
	if err != nil {
		t.Fatalf("Last-Modified is %q: %v", modified, err)
	}
	earlier := at.Add(-time.Second).Format(http.TimeFormat)
	for _, c := range []struct {
		name    string
		headers []string
		status  int
	}{
		{"of the same time", []string{"If-Modified-Since", modified}, http.StatusNotModified},
		{"packed, of the same time", []string{"If-Modified-Since", modified, "Accept-Encoding", "gzip"}, http.StatusNotModified},
		{"of an earlier time", []string{"If-Modified-Since", earlier}, http.StatusOK},
		{"of no time", []string{"If-Modified-Since", "yesterday"}, http.StatusOK},
		{"another tag of the same time", []string{"If-Modified-Since", modified, "If-None-Match", `"other"`}, http.StatusOK},
		{"the same tag of an earlier time", []string{"If-Modified-Since", earlier, "If-None-Match", tag}, http.StatusNotModified},
		{"a part of the same time", []string{"If-Modified-Since", modified, "Range", "bytes=0-9"}, http.StatusNotModified},
	} {
		if answer, _ := ask(t, h, get(feed, c.headers...)); answer.StatusCode != c.status {
			t.Errorf("%s: status %d, not %d", c.name, answer.StatusCode, c.status)
		}
	}
	head, body := ask(t, h, request(http.MethodHead, feed, ""))
	if head.StatusCode != http.StatusOK || body != "" || head.Header.Get("ETag") != tag || head.Header.Get("Content-Length") != first.Header.Get("Content-Length") {
		t.Errorf("HEAD: status %d, %d bytes, %v", head.StatusCode, len(body), head.Header)
	}
	if _, err := desk.Journal.Done(context.Background(), desk.Day(t, schedule.Moment{}), 0, record.Service{Task: "soak-screen"}); err != nil {
		t.Fatal(err)
	}
	changed, _ := ask(t, h, get(feed, "If-None-Match", tag))
	if changed.StatusCode != http.StatusOK || changed.Header.Get("ETag") == tag {
		t.Errorf("after a service: status %d, %s", changed.StatusCode, changed.Header.Get("ETag"))
	}
	// Within the same second of the test's clock, and still told apart.
	if byDate, _ := ask(t, h, get(feed, "If-Modified-Since", modified)); byDate.StatusCode != http.StatusOK || byDate.Header.Get("Last-Modified") == modified {
		t.Errorf("after a service: status %d, modified %s", byDate.StatusCode, byDate.Header.Get("Last-Modified"))
	}
}

func TestCalendarIsPacked(t *testing.T) {
	desk, _ := writtenKitchen(t)
	h := open(desk)
	_, plain := ask(t, h, get(feed))
	for _, c := range []struct {
		accept string
		packed bool
	}{
		{"", false}, {"gzip", true}, {"deflate, gzip;q=0.5", true}, {"GZIP", true}, {"*", true},
		{"gzip;q=0", false}, {"gzip; q=0.0, *", false}, {"br", false}, {"gzip;q=x", false},
	} {
		answer, body := ask(t, h, get(feed, "Accept-Encoding", c.accept))
		if packed := answer.Header.Get("Content-Encoding") == "gzip"; packed != c.packed {
			t.Errorf("Accept-Encoding %q: packed is %v", c.accept, packed)
		}
		if answer.Header.Get("Vary") != "Accept-Encoding" {
			t.Errorf("Accept-Encoding %q: Vary is %q", c.accept, answer.Header.Get("Vary"))
		}
		if c.packed {
			z, err := gzip.NewReader(strings.NewReader(body))
			if err != nil {
				t.Fatal(err)
			}
			data, err := io.ReadAll(z)
			if err != nil {
				t.Fatal(err)
			}
			body = string(data)
		}
		if body != plain {
			t.Errorf("Accept-Encoding %q: another calendar", c.accept)
		}
	}
}

func TestCalendarKeepsItsSecret(t *testing.T) {
	desk, records := kitchen(t)
	for _, c := range []struct {
		name   string
		path   string
		change func(*web.Server)
	}{
		{"wrong", "/calendar/ap-3vq9-secreT/limekeep.ics", func(*web.Server) {}},
		{"shorter", "/calendar/ap/limekeep.ics", func(*web.Server) {}},
		{"none in the address", "/calendar/limekeep.ics", func(*web.Server) {}},
		{"none set", feed, func(s *web.Server) { s.Secret = nil }},
	} {
		if answer, body := ask(t, open(desk, c.change), get(c.path)); answer.StatusCode != http.StatusNotFound || strings.Contains(body, "VCALENDAR") {
			t.Errorf("%s: status %d", c.name, answer.StatusCode)
		}
	}
	if n := len(records.Of(record.KindPublication)); n != 0 {
		t.Errorf("%d plans were published for strangers", n)
	}
}

// A day chosen by hand is for looking ahead: nothing of it is kept.
func TestCalendarOfAnotherDayIsNotPublished(t *testing.T) {
	desk, records := readKitchen(t)
	h := open(desk, func(s *web.Server) { s.Today = record.NewDate(2027, 1, 1) })
	if answer, _ := ask(t, h, get(feed)); answer.StatusCode != http.StatusOK {
		t.Errorf("status %d", answer.StatusCode)
	}
	if n := len(records.Of(record.KindPublication)); n != 0 {
		t.Errorf("%d plans were published", n)
	}
}

// Over a real connection: what a browser or a calendar program would get.
func TestCalendarOverHTTP(t *testing.T) {
	desk, _ := writtenKitchen(t)
	server := httptest.NewServer(open(desk))
	defer server.Close()
	answer, err := server.Client().Get(server.URL + feed)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	// The client asks for gzip by itself and unpacks it.
	if !answer.Uncompressed {
		t.Error("the calendar was sent unpacked")
	}
	if _, err := goical.NewDecoder(answer.Body).Decode(); err != nil {
		t.Fatal(err)
	}
}

// A piece of equipment has a calendar of its own, at an address with the same
// secret, which holds each sitting and visit that is about it and no other.
func TestCalendarOfOneEquipment(t *testing.T) {
	desk, _ := kitchen(t)
	h := open(desk)
	events := func(path string) []goical.Event {
		answer, body := ask(t, h, get(path))
		if answer.StatusCode != http.StatusOK {
			t.Fatalf("%s: status %d", path, answer.StatusCode)
		}
		cal, err := goical.NewDecoder(strings.NewReader(body)).Decode()
		if err != nil {
			t.Fatal(err)
		}
		return cal.Events()
	}
	all, seen := len(events(feed)), map[string]bool{}
	for id, name := range map[string]string{"bench": "Machine on the bench", "grinder": "Grinder", "tap": "Kitchen tap"} {
		found := events("/calendar/" + secret + "/equipment/" + id + ".ics")
		if len(found) == 0 {
			t.Errorf("%s has no events", id)
		}
		for _, e := range found {
			uid := e.Props.Get(goical.PropUID).Value
			if about := e.Props.Get(goical.PropCategories); about == nil || !slices.Contains(strings.Split(about.Value, ","), name) {
				t.Errorf("the calendar of %s holds %s, which is about %v", id, uid, about)
			}
			seen[uid] = true
		}
	}
	if len(seen) != all {
		t.Errorf("the calendars of the equipment hold %d events, that of the place %d", len(seen), all)
	}
	for _, path := range []string{"/equipment/nothing.ics", "/equipment/bench", "/equipment/.ics", "/equipment/", "/other.ics", "/"} {
		if answer, _ := ask(t, h, get("/calendar/"+secret+path)); answer.StatusCode != http.StatusNotFound {
			t.Errorf("%s: status %d", path, answer.StatusCode)
		}
	}
	if answer, _ := ask(t, h, get("/calendar/wrong/equipment/bench.ics")); answer.StatusCode != http.StatusNotFound {
		t.Errorf("without the secret: status %d", answer.StatusCode)
	}
}

// While it is watched, a feed answers with what it has, and soon with what the
// records then say, whoever wrote them.
func TestWatchedCalendarSideBySideWithWriter(t *testing.T) {
	desk, records := kitchen(t)
	s := &web.Server{Days: desk.Opener, Journal: desk.Journal, Publisher: desk.Publisher, Secret: sameSecret}
	h := s.Handler()
	stop := watch(t, s)
	defer stop()
	first, _ := ask(t, h, get(feed))
	// Written past the server, as another process does.
	if _, err := records.Append(t.Context(), record.Entry{Place: "home", Effective: record.NewDate(2026, 3, 2), Entered: noon, Source: "command", Body: record.Service{Task: "bench/soak-screen/group"}}); err != nil {
		t.Fatal(err)
	}
	for { // the test's own deadline ends it where the feed never changes
		answer, body := ask(t, h, get(feed))
		if answer.StatusCode != http.StatusOK {
			t.Fatalf("status %d", answer.StatusCode)
		}
		if answer.Header.Get("ETag") != first.Header.Get("ETag") {
			holds(t, body, "SUMMARY:Done: Soak screen and baskets")
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	if n := len(records.Of(record.KindPublication)); n != 2 {
		t.Errorf("%d plans were published, not one for each state", n)
	}
}

func sameSecret(context.Context) (string, error) { return secret, nil }

// watch begins to watch a server; what it gives ends that.
func watch(t testing.TB, s *web.Server) (stop func()) {
	t.Helper()
	if err := s.Renew(t.Context()); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { defer close(done); s.Watch(ctx) }()
	for !s.Watched() {
		time.Sleep(time.Millisecond)
	}
	return func() { cancel(); <-done }
}
