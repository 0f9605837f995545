package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"limekeep/schedule/record"
)

// A clock before the set-up gives pages that say so; what was written while it was ahead
// is shown and can be taken back.
func TestWrongClock(t *testing.T) {
	desk, records := kitchen(t)
	ids, err := records.Append(t.Context(), record.Entry{Place: "home", Effective: record.NewDate(2026, 3, 12), Entered: noon, Source: "page", Body: record.Service{Task: "bench/soak-screen/group"}})
	if err != nil {
		t.Fatal(err)
	}
	h := open(desk)
	_, body := ask(t, h, get("/history"))
	holds(t, body, "dated ahead")
	path := fmt.Sprintf("/history/%d/take-back", ids[0])
	if answer, body := ask(t, h, get(path)); answer.StatusCode != http.StatusOK || !strings.Contains(body, "dated ahead") {
		t.Errorf("the page to take it back: %d", answer.StatusCode)
	}
	if answer, body := ask(t, h, post(path, url.Values{})); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("taking it back: %d\n%s", answer.StatusCode, body)
	}
	if e, err := records.Find(t.Context(), ids[0]); err != nil || e.Voided == 0 {
		t.Errorf("it was not taken back: %+v, %v", e, err)
	}
	desk.Opener.Now = func() time.Time { return noon.AddDate(-20, 0, 0) }
	for _, path := range []string{"/", "/history", "/plan", "/use"} {
		answer, body := ask(t, h, get(path))
		if answer.StatusCode != http.StatusServiceUnavailable {
			t.Errorf("GET %s twenty years ago: %d", path, answer.StatusCode)
		}
		holds(t, body, "Put the clock right")
	}
}

// A long history comes in pages, none of which is left out or shown twice.
func TestHistoryInPages(t *testing.T) {
	desk, records := kitchen(t)
	for i := range 450 {
		if _, err := records.Append(t.Context(), record.Entry{Place: "home", Effective: record.NewDate(2026, 2, 1) + record.Date(i%20), Entered: noon, Source: "page", Body: record.Service{Task: "bench/soak-screen/group", Note: fmt.Sprintf("note-%d.", i)}}); err != nil {
			t.Fatal(err)
		}
	}
	h := open(desk)
	seen, pages := map[string]int{}, 0
	for path := "/history"; path != ""; pages++ {
		_, body := ask(t, h, get(path))
		for i := range 450 {
			if note := fmt.Sprintf("note-%d.", i); strings.Contains(body, note) {
				seen[note]++
			}
		}
		_, rest, more := strings.Cut(body, `<a href="/history?before=`)
		rest, _, _ = strings.Cut(rest, "&")
		if path = ""; more {
			number, _, _ := strings.Cut(rest, `"`)
			path = "/history?before=" + number
		}
		if pages > 10 {
			t.Fatal("there is no end to the pages")
		}
	}
	if pages != 3 || len(seen) != 450 {
		t.Errorf("%d pages with %d of 450 records", pages, len(seen))
	}
	for note, n := range seen {
		if n != 1 {
			t.Errorf("%s is shown %d times", note, n)
		}
	}
}
