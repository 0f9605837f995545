package web_test

import (
	"compress/gzip"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/sample"
)

var anyToken = regexp.MustCompile(`name="ticket" value="([^"]*)"`)

// tokensOf returns the tokens of a page's forms, and the page without them.
func tokensOf(page string) ([]string, string) {
	var all []string
	for _, m := range anyToken.FindAllStringSubmatch(page, -1) {
		all = append(all, m[1])
	}
	return all, tokenless(page)
}

func tokenless(page string) string { return anyToken.ReplaceAllString(page, "") }

// unpacked asks for a page packed, and returns its size on the way and what is in it. The
// library that unpacks checks the sum and the length (RFC 1952).
func unpacked(t *testing.T, h http.Handler, path string) (int, string) {
	t.Helper()
	answer, body := ask(t, h, get(path, "Accept-Encoding", "gzip"))
	if answer.Header.Get("Content-Encoding") != "gzip" || answer.Header.Get("Vary") != "Accept-Encoding" {
		t.Errorf("GET %s: headers %v", path, answer.Header)
	}
	z, err := gzip.NewReader(strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return len(body), string(plain)
}

// Pages are put together once for as long as nothing is written down: asked again they
// are the same but for the tokens of their forms, which no two visits share, and what
// was written down meanwhile is on the next one.
func TestPagesAreKept(t *testing.T) {
	desk, _ := kitchen(t)
	s := &web.Server{Days: desk.Opener, Journal: desk.Journal, Publisher: desk.Publisher, Secret: sameSecret, Sittings: &sample.Sittings{}}
	h := s.Handler()
	stop := watch(t, s)
	defer stop()
	pages := []string{"/", "/plan", "/tasks/bench/group-gasket/group", "/history", "/use", "/score", "/equipment", "/equipment/bench", "/equipment/bench/steam", "/water"}
	for _, path := range pages {
		first, body := ask(t, h, get(path))
		again, bodyAgain := ask(t, h, get(path))
		tokens, page := tokensOf(body)
		tokensAgain, pageAgain := tokensOf(bodyAgain)
		if first.StatusCode != http.StatusOK || page != pageAgain || len(tokens) != len(tokensAgain) {
			t.Errorf("GET %s: status %d; asked again the page is another", path, first.StatusCode)
		}
		if packed, inside := unpacked(t, h, path); tokenless(inside) != page || packed > mostPageBytes {
			t.Errorf("GET %s: packed it is another page, of %d bytes", path, packed)
		}
		for i, token := range tokens {
			if len(token) < 26 || tokensAgain[i] == token {
				t.Errorf("GET %s: two visits have the token %q", path, token)
			}
		}
		for _, name := range []string{"Content-Type", "Cache-Control", "Content-Security-Policy"} {
			if a, b := first.Header.Get(name), again.Header.Get(name); a != b || a == "" {
				t.Errorf("GET %s: %s is %q, then %q", path, name, a, b)
			}
		}
	}
	const note = "a drip tray that was cracked"
	answer, body := ask(t, h, post("/use/shots", url.Values{"shots-shots": {"4"}, "shots-date": {noon.Format("2006-01-02")}, "shots-note": {note}}))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("status %d\n%s", answer.StatusCode, body)
	}
	for _, path := range []string{"/history", "/use"} {
		_, body := ask(t, h, get(path))
		holds(t, body, note)
	}
	if _, body := ask(t, h, get("/history?text=nothing+holds+this")); strings.Contains(body, note) {
		t.Error("another question has the same answer")
	}
}

// A sitting that goes on is no record: the page Now tells of it as it stands.
func TestSittingIsNotKept(t *testing.T) {
	desk, _ := kitchen(t)
	s := &web.Server{Days: desk.Opener, Journal: desk.Journal, Publisher: desk.Publisher, Secret: sameSecret, Sittings: &sample.Sittings{}}
	h := s.Handler()
	stop := watch(t, s)
	defer stop()
	start := desk.Forecast(t, schedule.Moment{}).Plan().Sittings[0].Start
	_, before := ask(t, h, get("/"))
	if strings.Contains(before, "/sitting/") {
		t.Error("no sitting was begun, and the page leads to one")
	}
	answer, _ := ask(t, h, post("/sitting", url.Values{"start": {start.Format("2006-01-02T15:04:05Z07:00")}}))
	at := answer.Header.Get("Location")
	if !strings.HasPrefix(at, "/sitting/") {
		t.Fatalf("status %d, to %q", answer.StatusCode, at)
	}
	_, after := ask(t, h, get("/"))
	holds(t, after, at)
}
