package web_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/sample"
)

const olderNote = "a newer forecast is being worked out"

// While a forecast is worked out, forms are taken and pages are answered from the
// last one and say so; afterwards they show the new one.
func TestPagesSideBySideWithForecast(t *testing.T) {
	const gasket = "/tasks/bench/group-gasket/group"
	today := noon.Format("2006-01-02")
	desk, _ := kitchen(t)
	forecasts := sample.HoldForecasts(desk)
	s := &web.Server{Days: desk.Opener, Journal: desk.Journal, Publisher: desk.Publisher, Secret: sameSecret}
	h := s.Handler()
	stop := watch(t, s)
	defer stop()
	if _, body := ask(t, h, get("/")); strings.Contains(body, olderNote) {
		t.Error("nothing was written, and the page says that a newer forecast is coming")
	}
	forecasts.Hold()
	for _, form := range []*http.Request{
		post(gasket+"/done", url.Values{"date": {today}}),
		post("/tasks/bench/descale/brew/move", url.Values{"move": {"next"}}),
		post("/use/shots", url.Values{"shots-shots": {"4"}, "shots-date": {today}}),
	} {
		if answer, body := ask(t, h, form); answer.StatusCode != http.StatusSeeOther {
			t.Errorf("POST %s: status %d\n%s", form.URL.Path, answer.StatusCode, body)
		}
	}
	// None of them may begin a forecast of its own: that would not come back before it is
	// let go. What needs no forecast is as new as the records.
	for _, path := range kitchenPages {
		answer, body := ask(t, h, get(path))
		if answer.StatusCode != http.StatusOK {
			t.Errorf("GET %s: status %d", path, answer.StatusCode)
		}
		if slices.Contains([]string{"/", "/plan", gasket, "/equipment", "/equipment/bench", "/equipment/bench/steam", "/water", "/record/bench", "/print/plan", "/print/sitting"}, path) {
			holds(t, body, olderNote)
		}
	}
	forecasts.Release()
	for { // the test's own deadline ends it where the page stays old
		if _, body := ask(t, h, get("/")); !strings.Contains(body, olderNote) {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
}
